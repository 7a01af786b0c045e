"""`python -m tests.bench`: every speed goal as a ratio of minima of two things timed in turn, goal beside seen."""

from __future__ import annotations

import sys

from tests.bench import check, drawing, edit, full_sheet, network


def main() -> int:
    """Print all rows."""
    return max(part.main() for part in (check, edit, drawing, full_sheet, network))


if __name__ == "__main__":
    sys.exit(main())
