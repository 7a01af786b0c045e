"""Does the insulation stand the heat where the conductor runs?"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from engine.graph.boat import Boat
from engine.model.network import Run
from engine.model.quantity import high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.bounds import engine_space, judged
from engine.rules.each import every_run, itself, of_each

EVERYWHERE_C = 60.0
IN_ENGINE_SPACE_C: Mapping[Book, float] = {"e11": 75.0, "iso13297": 70.0}

BASIS = (
    Basis("e11", "ABYC E-11", "Insulation is rated at least 60 °C, in engine spaces oil resistant and at least 75 °C.",
          "secondary"),
    Basis("iso13297", "ISO 13297", "Insulation is rated at least 60 °C, in engine spaces oil resistant and at least 70 °C; "
          "a cable maker's summary names the 70 °C.", "secondary"),
)  # fmt: skip


@rule(
    "heat-sensitive-insulation",
    title="Insulation not made for the heat of its place",
    books=("e11", "iso13297"),
    basis=BASIS,
    wordings={
        "engine-space": Wording(
            severity="requirement",
            sentence="{run} passes the engine space with {rated} °C insulation; at least {least} °C is wanted there.",
            remedy="Run conductors rated {least} °C or more through the engine space.",
            formula="{rated} °C < {least} °C",
        ),
        "anywhere": Wording(
            severity="requirement",
            sentence="{run} has {rated} °C insulation; at least {least} °C is wanted anywhere on board.",
            remedy="Run conductors rated {least} °C or more.",
            formula="{rated} °C < {least} °C",
        ),
    },
    parameters=(
        Parameter("anywhere", EVERYWHERE_C, "°C", "ABYC E-11, quoted by a chandler", "secondary"),
        Parameter("engine space", 75, "°C", "ABYC E-11, quoted by a chandler", "secondary"),
        Parameter("engine space, ISO", 70, "°C", "a cable maker's summary of ISO 13297", "secondary"),
    ),
    needs="Insulation temperature and route of each run.",
)
@of_each(every_run, itself)
def heat_sensitive_insulation(boat: Boat, book: Book, run: Run) -> Iterator[Outcome]:
    """Next to an engine the air is hot before a conductor carries anything. Insulation rated too low softens, creeps
    away under a clamp and leaves bare copper against metal."""
    surely, possibly, lacks = engine_space(boat, run)
    hot_c = IN_ENGINE_SPACE_C[book]
    coolest, warmest = low(run.insulation_c, 0.0), high(run.insulation_c)
    everywhere = warmest < EVERYWHERE_C
    least_c = hot_c if surely and not everywhere else EVERYWHERE_C
    missing = () if is_exact(run.insulation_c) else (f"run:{run.id} insulation_c",)
    yield judged(
        "engine-space" if surely and not everywhere else "anywhere" if everywhere else "engine-space",
        (f"run:{run.id}",),
        safe=coolest >= (hot_c if possibly else EVERYWHERE_C),
        hopeless=warmest < least_c,
        lacks=(*missing, *lacks),
        values=lambda: {"run": boat.name_run(run), "rated": warmest if warmest < math.inf else "?", "least": least_c},
    )
