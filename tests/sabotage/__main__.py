"""`python -m tests.sabotage`: every fault tried, and how many of each kind were caught."""

from __future__ import annotations

import sys
import time

from tests.sabotage.kinds import KINDS
from tests.sabotage.sample import CLEAN, Sample
from tests.sabotage.verdict import caught, findings, unexplained


def main() -> int:
    """Print the table; 1 where a fault got away."""
    began, missed, total = time.monotonic(), 0, 0
    for name in CLEAN:
        sample = Sample(name)
        for kind, make in KINDS.items():
            faults = list(make(sample))
            got_away, strange = [], []
            for fault in faults:
                found = findings(sample, fault)
                if not caught(fault, found):
                    got_away.append(fault.name)
                strange += [
                    (fault.name, each.rule.id, each.outcome.subjects) for each in unexplained(sample, fault, found)
                ]
            total, missed = total + len(faults), missed + len(got_away)
            print(
                f"{name:<18} {kind:<28} {len(faults) - len(got_away):>4} of {len(faults):>4} caught, {len(strange)} unexplained"
            )
            for each in got_away[:12]:
                print(f"    got away: {each}")
            for line in strange[:6]:
                print(f"    unexplained: {line}")
    print(f"{total - missed} of {total} faults caught in {time.monotonic() - began:.0f} s")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
