"""Whether the process that wrote something is still alive. Process numbers are used again, so a birth mark goes along."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path


def birth_mark(process: int) -> str:
    """What tells this process from another of the same number: boot and start tick; "" where the system has no /proc."""
    with contextlib.suppress(OSError, IndexError):
        boot = Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
        # the command's name, in parentheses, may hold anything: fields are counted after it; start time is the 22nd
        fields = Path(f"/proc/{process}/stat").read_text(encoding="utf-8", errors="replace").rpartition(")")[2].split()
        return f"{boot}:{fields[19]}"
    return ""


def is_running(process: int, birth: str = "") -> bool:
    """Whether that process of this machine is alive; taken to be where that cannot be asked."""
    if os.name != "posix":
        return True  # signal 0 would end it there
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (PermissionError, OverflowError):
        pass
    return not birth or birth_mark(process) in ("", birth)
