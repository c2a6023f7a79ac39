"""What an author meant who spelt a number, a name or yes and no in another way: offered in messages, never taken."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from functools import cache
from types import MappingProxyType

from faultfinder.knowledge.schema.nearest_name import did_you_mean

ID = re.compile("[a-z][a-z0-9_]{0,59}")
"""What an id looks like."""
YAML_CONSTANTS = frozenset({"true", "false", "null"})
"""Words that editors read as values."""
_MEANS_YES = frozenset({"true", "on", "yes", "y", "1"})
_MEANS_NO = frozenset({"false", "off", "no", "n", "0"})


DASHES = ("\u2212", "\u2013", "\u2014")
"""Signs of the typesetter that look like a minus and are none."""


@cache
def key_names() -> frozenset[str]:
    """Every key of the rule language: a name like that is mostly a key whose indentation slipped."""
    from faultfinder.knowledge.schema.keys import TABLES  # the tables stand on the shapes that ask this

    return frozenset(key.name for table in TABLES for key in table.keys)


SYNONYMS: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("measure", "measured", "measurement", "meter", "test"), "reading"),
        **dict.fromkeys(("see", "seen", "visual", "touch", "feel", "felt"), "look"),
        **dict.fromkeys(("hear", "heard", "noise", "listen"), "sound"),
        **dict.fromkeys(("asked", "complaint", "reported", "customer", "ask"), "told"),
        **dict.fromkeys(("unplugged", "plug_out", "off"), "isolated"),
        **dict.fromkeys(("running", "on"), "in_use"),
        **dict.fromkeys(("dead", "covers_removed", "opened"), "open_dead"),
        **dict.fromkeys(("outside", "closed"), "covers_on"),
        **dict.fromkeys(("electric", "electrical", "electrocution"), "shock"),
        **dict.fromkeys(("scald", "hot", "heat"), "burn"),
        **dict.fromkeys(("mechanical", "crush"), "moving_parts"),
        **dict.fromkeys(("expensive", "high"), "dear"),
        **dict.fromkeys(("low", "low_cost"), "cheap"),
        **dict.fromkeys(("medium", "middling"), "moderate"),
        **dict.fromkeys(("free", "zero"), "nothing"),
        **dict.fromkeys(("seldom", "occasionally"), "rarely"),
        **dict.fromkeys(("mostly", "normally", "likely"), "usually"),
        **dict.fromkeys(("frequently", "frequent"), "often"),
        **dict.fromkeys(("electrician", "gas_engineer", "specialist"), "licensed"),
        **dict.fromkeys(("no_yes", "yes", "yesno", "boolean"), "yes_no"),
        **dict.fromkeys(("text", "word", "enum"), "choice"),
        **dict.fromkeys(("numeric", "integer", "float"), "number"),
    }
)
"""Other words of the trade -> the word of the rules; offered only where that word is known."""


KEY_SYNONYMS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        **dict.fromkeys(("question", "query", "prompt"), ("ask",)),
        **dict.fromkeys(("name", "label", "fault", "heading"), ("title", "ask")),
        **dict.fromkeys(
            ("probability", "prior", "frequency", "likelihood", "chance", "rate"), ("how_common",)
        ),
        **dict.fromkeys(("time", "duration", "takes_minutes", "mins", "effort"), ("minutes",)),
        **dict.fromkeys(("tools", "tool", "instrument", "equipment", "requires"), ("needs",)),
        **dict.fromkeys(("type", "sort", "category"), ("kind",)),
        **dict.fromkeys(("options", "choices", "values", "replies", "responses"), ("answers", "choices")),
        **dict.fromkeys(("answers", "enum"), ("choices",)),
        **dict.fromkeys(("limits", "thresholds", "ranges"), ("bands", "range")),
        **dict.fromkeys(("min_max", "interval"), ("range",)),
        **dict.fromkeys(("repair", "fix", "mend", "cure", "solution", "action", "work"), ("remedy",)),
        **dict.fromkeys(("repair_how", "remedy_steps", "procedure"), ("remedy_how", "how")),
        **dict.fromkeys(("caused_by", "causes", "because_of", "due_to", "follows"), ("brought_on_by",)),
        **dict.fromkeys(("symptoms", "signs", "effects", "evidence", "links"), ("shows",)),
        **dict.fromkeys(("default", "usual_value", "assumed", "typical"), ("class_value",)),
        **dict.fromkeys(("uncertainty", "sigma", "deviation", "tolerance"), ("spread",)),
        **dict.fromkeys(("price", "cost", "part_cost", "parts_cost", "part_price"), ("part_costs",)),
        **dict.fromkeys(("spares", "spare_parts", "components"), ("parts",)),
        **dict.fromkeys(("steps", "instructions", "instruction", "howto", "method"), ("how", "remedy_how")),
        **dict.fromkeys(("state", "where", "conditions", "situation"), ("access",)),
        **dict.fromkeys(("check", "proved_by", "prove", "verify", "test", "proofs"), ("proof",)),
        **dict.fromkeys(("reason", "because", "explanation"), ("why",)),
        **dict.fromkeys(("when", "if", "machines", "only_on"), ("applies", "only_if")),
        **dict.fromkeys(("danger_level", "risk", "safety", "hazards"), ("hazard",)),
        **dict.fromkeys(("missed", "cost_if_missed", "penalty"), ("if_missed",)),
        **dict.fromkeys(("works", "success", "success_rate"), ("takes",)),
        **dict.fromkeys(("need", "remedy_access"), ("remedy_need", "access")),
        **dict.fromkeys(("measure", "dimension"), ("quantity",)),
        **dict.fromkeys(("accuracy", "trust"), ("reliability",)),
        **dict.fromkeys(("words", "phrases", "synonyms", "keywords"), ("said",)),
        **dict.fromkeys(("expect", "healthy", "nominal", "normal"), ("expected",)),
        **dict.fromkeys(("tip", "hint", "prevention", "recommendation"), ("advice",)),
        **dict.fromkeys(("mandatory", "needed", "must"), ("required",)),
    }
)
"""Other words for keys -> the keys of the rules, the likelier first; offered only where such a key may stand."""


def key_meant(text: str, known: Iterable[str], given: Iterable[str]) -> str | None:
    """The key that a word stands for: one that may stand here and does not yet; or None."""
    there = set(given)
    meant = KEY_SYNONYMS.get(text.strip().lower().replace(" ", "_").replace("-", "_"), ())
    return next((key for key in meant if key in set(known) and key not in there), None)


def word_meant(text: str, known: Iterable[str]) -> str:
    """The hint for a word that is not known: the one that means the same, or the nearest, or the list."""
    words = list(known)
    same = SYNONYMS.get(text.strip().lower().replace(" ", "_").replace("-", "_"))
    return f"write {same}" if same in words else did_you_mean(text, words)


def number_meant(text: str) -> str:
    """What to write where a number is spelt in another way: a comma, a per cent sign, a unit behind it."""
    with_zero = text.replace("O", "0").replace("o", "0").replace("l", "1")
    if with_zero != text and re.fullmatch(r"\d+(?:\.\d+)?", with_zero) and re.search(r"\d", text):
        return f"write {with_zero}, with digits alone"
    if text.startswith(DASHES):
        return "write the minus of the keyboard: -"
    if re.fullmatch(r"\d{1,3}(?:[ '_\u00a0\u202f]\d{3})+", text):
        return "write the thousands together: " + re.sub(r"\D", "", text)
    if re.fullmatch(r"\d+,\d+", text):
        return "use a point for decimals"
    share = re.fullmatch(r"(\d+(?:\.\d+)?) ?%", text)
    if share is not None:
        return f"write {float(share.group(1)) / 100:g}"
    if re.fullmatch(r"\d+(?:\.\d+)? ?[A-Za-z\u00b0\u03a9\u2126]+", text):
        return "write the number alone"
    return _other_ways(text)


def _other_ways(text: str) -> str:
    """What to write for a fraction, a span, a rough number, hours and minutes, or one with a remark behind it."""
    number = r"(\d+(?:\.\d+)?)"
    remark = re.fullmatch(rf"{number}(?: *(?://|--|;).*|#.*)", text)
    if remark is not None:
        return f"write {remark[1]} alone; a remark begins with a space and #"
    part = re.fullmatch(rf"{number} ?(?:/|in|of|out of) ?{number}", text)
    if part is not None and float(part[2]):
        return f"write {float(part[1]) / float(part[2]):.3g}"
    span = re.fullmatch(rf"{number} ?(?:-|to|\.\.\.?|\u2013) ?{number}", text)
    if span is not None:
        return f"write one number, such as the middle: {(float(span[1]) + float(span[2])) / 2:.3g}"
    rough = re.fullmatch(
        rf"(?:~|<|>|<=|>=|about|around|ca\.?|approx\.?|up to|\u2248|\u00b1|\+/-) ?{number}", text
    )
    if rough is not None:
        return f"write {rough[1]}"
    clock = re.fullmatch(r"(\d+):([0-5]\d)", text)
    if clock is not None:
        return f"write {int(clock[1]) * 60 + int(clock[2])}, in minutes"
    if re.fullmatch(r"\d+(?:\.\d+){2,}|\d*\.\.\d+", text):
        return "write one point only"
    return ""


def name_meant(text: str) -> str:
    """The name that a text becomes with small letters and _, or nothing: ', such as fan_stuck'."""
    plain = plain_name(text)
    return f", such as {plain}" if plain else ""


def plain_name(text: str) -> str:
    """The name that a text becomes with small letters and _; nothing where it becomes none."""
    parted = re.sub(r"(?<=[a-z0-9])(?=[A-Z])", "_", text)
    letters = unicodedata.normalize("NFKD", parted.replace("\u00df", "ss"))
    letters = "".join(letter for letter in letters if not unicodedata.combining(letter))
    plain = re.sub(r"[\s_\u2010-\u2015-]+", "_", letters.strip()).lower()
    if plain[:1].isdigit():
        plain = re.sub(r"^(\d+[a-z]*)_(.+)$", r"\2_\1", plain)
    return plain if ID.fullmatch(plain) and plain not in YAML_CONSTANTS else ""


def pair_meant(text: str) -> str:
    """What to write where a key and its value stand together as one name: 'flex_seen always', 'type=corded'."""
    found = re.fullmatch(r"([a-z][a-z0-9_]*)(?: ?= ?(?=.)|(?::| +)(?=[A-Za-z0-9_.%]+$))(.+)", text.strip())
    return f"write {found[1]}: {found[2]}" if found else ""


def yes_or_no_meant(text: str) -> str:
    """'write yes', 'write no', or nothing where neither is clear."""
    word = text.lower()
    return "write yes" if word in _MEANS_YES else "write no" if word in _MEANS_NO else ""
