"""The style sheet of the program, with @names of theme colours (app/style.py). Only text."""

from __future__ import annotations

SHEET = """
* { outline: 0; font-family: "Loomwright Sans"; font-size: 10.5pt; }
QMainWindow, QDialog { background: @card; color: @ink; }
QMainWindow::separator { background: @frame; width: 5px; height: 5px; margin: 0; }
QMainWindow::separator:hover { background: @accent; }
QToolTip { background: @field; color: @ink; border: 1px solid @edge; padding: 4px 6px; }

QMenuBar { background: @frame; color: @ink; border-bottom: 1px solid @rule; padding: 1px 6px; }
QMenuBar::item { padding: 5px 10px; background: transparent; border-radius: 3px; }
QMenuBar::item:selected { background: @hover; }
QMenu { background: @field; color: @ink; border: 1px solid @edge; padding: 5px 0; }
QMenu::item { padding: 5px 26px 5px 30px; }
QMenu::item:selected { background: @chosen; }
QMenu::item:disabled { color: @faint; }
QMenu::separator { height: 1px; background: @rule; margin: 5px 10px; }
QMenu::icon { padding-left: 9px; }
QMenu::indicator { width: 14px; height: 14px; left: 9px; }
QMenu::indicator:checked { background: @accent; border: 3px solid @field; border-radius: 7px; }

QToolBar { background: @frame; border: 0; border-bottom: 1px solid @rule; padding: 3px 8px; spacing: 2px; }
QToolBar::separator { background: @rule; width: 1px; margin: 5px 6px; }
QToolBar QToolButton { border: 1px solid transparent; border-radius: 4px; padding: 4px; color: @ink; }
QToolBar QToolButton:hover { background: @hover; }
QToolBar QToolButton:pressed, QToolBar QToolButton:checked { background: @chosen; }
QToolBar QToolButton:checked { border-color: @accent; }
QToolBar QToolButton:focus { border-color: @focus; }
QToolBar QToolButton:disabled { color: @faint; }

QStatusBar { background: @frame; color: @soft; border-top: 1px solid @rule; }
QStatusBar::item { border: 0; }
QStatusBar QLabel { color: @soft; padding: 2px 6px; }
QStatusBar QToolButton { color: @ink; border: 1px solid transparent; border-radius: 3px; padding: 1px 7px; }
QStatusBar QToolButton:hover { background: @hover; }
QStatusBar QToolButton:focus { border-color: @focus; }

QDockWidget { color: @ink; font-weight: bold; titlebar-close-icon: none; titlebar-normal-icon: none; }
QDockWidget > QWidget { background: @card; }
#dockTitle { background: @frame; border-bottom: 1px solid @rule; }
#dockTitle QLabel { font-weight: bold; padding: 5px 10px; color: @ink; }
#dockTitle QToolButton { border: 1px solid transparent; border-radius: 3px; padding: 2px 6px; color: @soft; }
#dockTitle QToolButton:hover { background: @hover; color: @ink; }
#dockTitle QToolButton:focus { border-color: @focus; }

QTabBar { background: @frame; qproperty-drawBase: 0; }
QTabBar::tab { color: @soft; background: transparent; padding: 5px 14px; border: 0; border-bottom: 2px solid transparent; }
QTabBar::tab:hover { color: @ink; background: @hover; }
QTabBar::tab:selected { color: @ink; border-bottom-color: @accent; }
QTabBar::tab:focus { border-bottom-color: @focus; }
QTabWidget::pane { border: 0; border-top: 1px solid @rule; }
QTabBar#inner { background: transparent; }
#sheetTabs::tab { background: @frame; border: 1px solid @rule; border-bottom: 0; margin: 4px 0 0 4px;
  border-top-left-radius: 4px; border-top-right-radius: 4px; padding: 4px 14px; }
#sheetTabs::tab:selected { background: @field; color: @ink; border-color: @edge; }
#sheetTabs::tab:selected:focus { border-color: @focus; }
#sheetBar { background: @frame; border-bottom: 1px solid @edge; }

QLineEdit, QComboBox, QSpinBox, QPlainTextEdit, QTextEdit { background: @field; color: @ink; border: 1px solid @edge;
  border-radius: 3px; padding: 3px 6px; selection-background-color: @chosen; selection-color: @ink; }
QLineEdit:focus, QComboBox:focus, QSpinBox:focus, QPlainTextEdit:focus, QTextEdit:focus { border: 2px solid @focus;
  padding: 2px 5px; }
QLineEdit:disabled, QComboBox:disabled { color: @faint; background: @card; }
QLineEdit[wrong="true"] { border: 2px solid @danger; padding: 2px 5px; }
QLineEdit[state="unknown"] { color: @unknown; }
QComboBox::drop-down { border: 0; width: 18px; }
QComboBox::down-arrow { image: none; width: 0; height: 0; }
QComboBox QAbstractItemView { background: @field; color: @ink; border: 1px solid @edge;
  selection-background-color: @chosen; selection-color: @ink; }

QPushButton, QToolButton#plain { background: @field; color: @ink; border: 1px solid @edge; border-radius: 4px;
  padding: 5px 14px; }
QToolButton#plain { padding: 3px 9px; }
QPushButton:hover, QToolButton#plain:hover { background: @hover; }
QPushButton:pressed, QToolButton#plain:pressed, QToolButton#plain:checked { background: @chosen; }
QToolButton#plain:checked { border-color: @accent; }
QPushButton:focus, QToolButton#plain:focus { border: 2px solid @focus; padding: 4px 13px; }
QToolButton#plain:focus { padding: 2px 8px; }
QPushButton:default { background: @accent; color: @on_accent; border-color: @accent; }
QPushButton:default:focus { border-color: @focus; }
QPushButton:disabled, QToolButton#plain:disabled { color: @faint; border-color: @rule; background: @card; }
QToolButton#filter { border: 1px solid transparent; border-radius: 4px; padding: 3px 8px; color: @faint;
  background: transparent; text-decoration: line-through; }
QToolButton#filter:checked { color: @ink; background: @field; border-color: @rule; text-decoration: none; }
QToolButton#filter:hover { background: @hover; }
QToolButton#filter:focus { border-color: @focus; }
QToolButton#quiet { border: 1px solid transparent; border-radius: 3px; padding: 2px 5px; color: @soft; background: transparent; }
QToolButton#quiet:hover { background: @hover; color: @ink; }
QToolButton#quiet:focus { border-color: @focus; }
QToolButton::menu-indicator { image: none; width: 0; }

QCheckBox { color: @ink; spacing: 7px; }
QCheckBox::indicator { width: 14px; height: 14px; border: 1px solid @edge; border-radius: 2px; background: @field; }
QCheckBox::indicator:checked { background: @accent; border-color: @accent; image: @tick; }
QCheckBox:focus { color: @focus; }
QCheckBox::indicator:focus { border-color: @focus; }
QCheckBox:disabled { color: @faint; }

QTreeView, QTableView, QListView, QListWidget, QTreeWidget, QTableWidget { background: @field; color: @ink;
  alternate-background-color: @stripe; border: 1px solid @rule; gridline-color: @rule;
  selection-background-color: @chosen; selection-color: @ink; }
QTreeView:focus, QTableView:focus, QListView:focus { border: 1px solid @focus; }
QTreeView::item, QListView::item { padding: 2px 2px; border: 0; }
QTreeView::item:selected, QListView::item:selected, QTableView::item:selected { background: @chosen; color: @ink; }
QTreeView::item:hover, QListView::item:hover { background: @hover; }
QTreeView::branch { background: transparent; }
QTreeView::indicator { width: 12px; height: 12px; border: 1px solid @edge; border-radius: 2px; background: @field; }
QTreeView::indicator:checked { background: @accent; border-color: @accent; image: @tick; }
QHeaderView { background: @frame; border: 0; }
QHeaderView::section { background: @frame; color: @soft; border: 0; border-right: 1px solid @rule;
  border-bottom: 1px solid @edge; padding: 4px 8px; font-weight: bold; }
QTableCornerButton::section { background: @frame; border: 0; border-bottom: 1px solid @edge; }
QTableView QLineEdit { border-radius: 0; padding: 0 4px; }

QScrollArea { border: 0; background: transparent; }
QScrollBar:vertical { background: transparent; width: 12px; margin: 0; }
QScrollBar:horizontal { background: transparent; height: 12px; margin: 0; }
QScrollBar::handle { background: @rule; border-radius: 4px; margin: 2px; min-height: 28px; min-width: 28px; }
QScrollBar::handle:hover { background: @edge; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QSplitter::handle { background: @frame; width: 5px; }
QProgressBar { background: @field; border: 1px solid @edge; border-radius: 3px; text-align: center; color: @ink; }
QProgressBar::chunk { background: @chosen; }

#group { font-weight: bold; color: @accent; padding-top: 8px; border-bottom: 1px solid @rule; }
#soft { color: @soft; }
#strong { font-weight: bold; }
#problem { color: @danger; }
#headline { font-weight: bold; }
#noteBar { background: @note; border-bottom: 1px solid @edge; }
#noteBar QLabel { color: @ink; padding: 3px 4px; }
#caution { background: @field; border: 1px solid @edge; border-radius: 4px; }
#scrollBody { background: @card; }
QDockWidget QTabBar::tab { padding: 5px 14px; }
#bigName { font-size: 20pt; font-weight: bold; color: @accent; }
#answers { background: @field; border: 1px solid @edge; border-radius: 4px; padding: 3px; }
#answers::item { padding: 4px 6px; }
#answers::item:selected { background: @chosen; color: @ink; }
#graph { background: @desk; border: 0; }
"""
