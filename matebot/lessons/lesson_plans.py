"""Plans of lessons that a coach can copy, read from TOML files: shipped ones by name, own ones by path.

    description = "the second half of bishop and knight, for a German class"
    ending = "KBNK"
    ladder = "edge and corner"
    stages = [3, 4]
    exercises = 8
    seed = 7
    mirror = true
    letters = "german"

`stages` are numbers or titles, all stages without it; `letters` a language or the six letters of king, queen, rook,
bishop, knight and pawn.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from matebot.errors import UserError
from matebot.lessons.letters import ENGLISH, LANGUAGES
from matebot.method.plan import Plan
from matebot.method.plans import ALL_PLANS
from matebot.quoting import shown
from matebot.records import dataclass
from matebot.settings import read_settings
from matebot.solver.material import Material

FOLDER = "lessons"
MOST_EXERCISES, _SEEDS = 60, 2**31
_KEYS = ("description", "ending", "ladder", "stages", "exercises", "seed", "mirror", "letters")


@dataclass(frozen=True)
class LessonPlan:
    """What a lesson on an ending is to hold.

    Attributes
    ----------
    stages : numbers of the stages to show and to practise, 0 the first; none for all
    letters : of king, queen, rook, bishop, knight and pawn
    """

    ending: str = ""
    ladder: str | None = None
    stages: tuple[int, ...] = ()
    exercises: int = 6
    seed: int = 1
    mirror: bool = False
    letters: str = ENGLISH

    def chosen(self, plan: Plan) -> set[int]:
        """Return the numbers of the stages to show."""
        return set(self.stages or range(len(plan.stages)))


def read_plan(name: str) -> LessonPlan:
    """Return a plan by its name, or from a file.

    Raises
    ------
    UserError
        naming the file, the key and what is allowed
    """
    values, _ = read_settings(name, FOLDER, "lesson plan")
    try:
        for key in values:
            if key not in _KEYS:
                raise UserError(f"expected only the keys {', '.join(_KEYS)}, got {shown(key)!r}")
        values.pop("description", None)
        if "ending" not in values:
            raise UserError("expected the key 'ending', got none")
        return changed(None, values)
    except UserError as fault:
        raise UserError(f"{shown(name)}: {fault}") from None


def changed(plan: LessonPlan | None, values: Mapping[str, Any]) -> LessonPlan:
    """Return a plan with other values, as a file or the command line gives them.

    Raises
    ------
    UserError
        naming the key and what is allowed
    """
    plan = plan or LessonPlan()
    if "ending" in values and (ending := _ending(values["ending"])) != plan.ending:
        plan = replace(plan, ending=ending, ladder=None, stages=())
    if "ladder" in values:
        ladder = ladder_named(plan.ending, _text("ladder", values["ladder"])).name
        plan = replace(plan, ladder=ladder, stages=plan.stages if ladder == plan.ladder else ())
    ladder_plan = ladder_named(plan.ending, plan.ladder)
    if "stages" in values:
        plan = replace(plan, stages=_stages(ladder_plan, values["stages"]))
    if "exercises" in values:
        plan = replace(plan, exercises=_number("exercises", values["exercises"], MOST_EXERCISES))
    if "seed" in values:
        plan = replace(plan, seed=_number("seed", values["seed"], _SEEDS - 1))
    if "mirror" in values:
        if not isinstance(values["mirror"], bool):
            raise UserError(f"expected true or false for 'mirror', got {shown(repr(values['mirror']))}")
        plan = replace(plan, mirror=values["mirror"])
    if "letters" in values:
        plan = replace(plan, letters=_letters(_text("letters", values["letters"])))
    return plan


def plan_for(plan: LessonPlan) -> Plan:
    """Return the ladder a plan teaches."""
    return ladder_named(plan.ending, plan.ladder)


def ladder_named(ending: str, ladder: str | None) -> Plan:
    """Return the ladder of an ending to teach, its first one unless another is named.

    Raises
    ------
    UserError
        when the ending has no ladder, or none of that name
    """
    plans = ALL_PLANS.get(ending, ())
    if not plans:
        raise UserError(f"expected an ending with a ladder ({', '.join(ALL_PLANS)}), got {ending!r}")
    if ladder is None:
        return plans[0]
    found = [plan for plan in plans if plan.name == ladder.strip().casefold()]
    if not found:
        names = ", ".join(repr(plan.name) for plan in plans)
        raise UserError(f"expected a ladder of {ending} ({names}), got {shown(ladder)!r}")
    return found[0]


def _text(key: str, value: object) -> str:
    if not isinstance(value, str):
        raise UserError(f"expected a text for {key!r}, got {shown(repr(value))}")
    return value


def _ending(value: object) -> str:
    try:
        return Material.parse(_text("ending", value), largest=5).name
    except ValueError as fault:
        raise UserError(str(fault)) from None


def _number(key: str, value: object, most: int) -> int:
    number = int(value) if isinstance(value, str) and value.isdecimal() and len(value) < 12 else value
    if not isinstance(number, int) or isinstance(number, bool) or not 0 <= number <= most:
        what = "a number of exercises" if key == "exercises" else f"a {key}"
        raise UserError(f"expected {what} from 0 to {most}, got {shown(repr(value))}")
    return number


def _stages(plan: Plan, value: object) -> tuple[int, ...]:
    titles = [stage.title for stage in plan.stages]
    if not isinstance(value, list) or not value:
        raise UserError(f"expected a list of stages, got {shown(repr(value))}")
    found = set()
    for item in value:
        if isinstance(item, int) and not isinstance(item, bool) and 1 <= item <= len(titles):
            found.add(item - 1)
        elif isinstance(item, str) and item.strip().casefold() in titles:
            found.add(titles.index(item.strip().casefold()))
        else:
            raise UserError(
                f"expected stages from 1 to {len(titles)} or of {', '.join(map(repr, titles))}, got {shown(repr(item))}"
            )
    return tuple(sorted(found))


def _letters(value: str) -> str:
    if value.strip().casefold() in LANGUAGES:
        return LANGUAGES[value.strip().casefold()]
    if len(value) != len(ENGLISH) or not value.isalpha() or len(set(value)) != len(value):
        languages = ", ".join(LANGUAGES)
        raise UserError(f"expected six different letters of the men, or one of {languages}, got {shown(value)!r}")
    return value
