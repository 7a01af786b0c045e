"""Safety wording of the papers. It is locked: a translation must say the same, and no setting changes it.

Each text carries what it rests on; the statuses are those of the reference ("secondary": quoted second hand, "memory":
recalled and not confirmed). Nothing here depends on the boat.
"""

from __future__ import annotations

import msgspec

from engine.messages import tr
from engine.rules.api import Status


class Words(msgspec.Struct, frozen=True):
    """One locked text and where it comes from."""

    text: str
    source: str
    status: Status


DEFERRAL = Words(
    "This paper was made from a drawing. The drawing was checked, not the boat: it does not show how the boat was built, "
    "changed or kept since. Where this paper and the standards, the local codes or a licensed or certified marine "
    "electrician differ, they are right and this paper is wrong.",
    "our own",
    "practice",
)

SHORE_CONNECT = (
    Words("Switch the boat's shore-power breaker off.", "owner manuals", "secondary"),
    Words("Look at cable, plugs and inlet. Do not use them if they are wet inside, burnt, cracked or altered.",
          "owner manuals", "secondary"),
    Words("Connect the cable at the BOAT end first.", "ISO 13297 annex; owner manuals", "secondary"),
    Words("Then connect it at the SHORE end.", "ISO 13297 annex; owner manuals", "secondary"),
    Words("If the boat has a polarity indicator and it shows reversed polarity, disconnect at once, shore end first, and have "
          "the fault put right by a qualified electrician.", "owner manuals", "secondary"),
    Words("Switch the boat's shore-power breaker on.", "owner manuals", "secondary"),
)  # fmt: skip
SHORE_DISCONNECT = (
    Words("Switch the boat's shore-power breaker off.", "owner manuals", "secondary"),
    Words("Disconnect the cable at the SHORE end first.", "ISO 13297 annex; owner manuals", "secondary"),
    Words("Then disconnect it at the BOAT end.", "ISO 13297 annex; owner manuals", "secondary"),
    Words("Close the cover of the inlet tightly.", "owner manuals", "secondary"),
)
SHORE_CARE = (
    Words("Never let an end of the cable hang in the water; do not use a cable that has been under water until it has been "
          "tested.", "owner manuals; marina instructions", "secondary"),
    Words("Do not swim near a boat that is on shore power: a fault can put current into the water.", "US practice", "memory"),
    Words("Use one cable in one length, uncoiled, and do not alter its plugs.", "marina practice", "secondary"),
    Words("Use earthed three-wire or double-insulated appliances only, and none while you touch water.",
          "ISO 13297 annex; owner manuals", "memory"),
    Words("Press the test button of each residual-current device at least every three months.",
          "a boat safety scheme's advice", "secondary"),
)  # fmt: skip
FIRE = (
    Words("Warn everybody aboard; get people to where they can leave the boat.", "common practice, no source", "practice"),
    Words("Switch off what feeds the fire: battery switches off, shore-power breaker off, generator and inverter stopped. "
          "Only where you can reach them without passing the fire.", "common practice, no source", "practice"),
    Words("Disconnect the shore cable at the shore end.", "ISO 13297 annex order", "secondary"),
    Words("Never use water on electrical equipment that may be live. Use an extinguisher made for electrical fires.",
          "common practice, no source", "practice"),
    Words("What is listed under “What stays live” is still fed after the switches are off. Lithium batteries can light "
          "again; leave the boat in time.", "common practice, no source", "practice"),
)  # fmt: skip
FLOODING = (
    Words("Keep the bilge pumps running. Those listed under “What stays live” run with the battery switches off; any other "
          "needs its battery switch on.", "common practice, no source", "practice"),
    Words("Switch the shore-power breaker off and disconnect the shore cable at the shore end before water reaches AC "
          "equipment.", "common practice, no source", "practice"),
    Words("Do not enter water in the boat while shore power, a generator or an inverter is on.",
          "common practice, no source", "practice"),
    Words("After flooding have the installation examined before it is switched on again.",
          "common practice, no source", "practice"),
)  # fmt: skip
CAUTIONS = (
    Words("Never work on the installation while it is live.", "an owner's manual after ISO 10240", "secondary"),
    Words("Do not change the electrical system or its drawings. Installation, changes and maintenance are for a qualified "
          "marine electrician.", "an owner's manual after ISO 10240", "secondary"),
    Words("Do not alter or raise the rating of a fuse or breaker. Never bridge one.",
          "an owner's manual after ISO 10240", "secondary"),
    Words("Do not fit or replace appliances with ones that draw more than the circuit can carry.",
          "an owner's manual after ISO 10240", "secondary"),
    Words("Do not leave the boat with the electrical system on, except automatic bilge pumps, fire and burglar alarms.",
          "an owner's manual after ISO 10240", "secondary"),
    Words("Never switch a battery off while the engine runs, unless the alternator is made for it.",
          "a builder's owner manual", "secondary"),
    Words("Keep battery vents clear: charging batteries can give off gas that explodes. Put nothing of metal near a battery.",
          "an owner's manual after ISO 10240", "secondary"),
    Words("Switch chargers and loads off before you connect or disconnect a battery.",
          "an owner's manual after ISO 10240", "secondary"),
    Words("Battery acid on skin or in eyes: rinse well with clean water and see a doctor.",
          "an owner's manual after ISO 10240", "secondary"),
)  # fmt: skip


def said(words: Words) -> str:
    """The text in the reader's language."""
    return tr(words.text)
