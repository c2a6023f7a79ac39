"""An answer, band, choice or `let` that is named like a key: mostly a key that slipped too far right."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.formulas.expression import names_in
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.keys import FACT, FILE, OBSERVATION, QUESTION
from faultfinder.knowledge.schema.read import inner_names


def check(view: View) -> Iterator[Objection]:
    for section, keys in PLACES:
        for entry in view.gathered.entries(section):
            for key in keys:
                for name in inner_names(entry.values.node, key):
                    if OWN[section].key(name.text) is not None and not _meant(
                        view, section, entry.id, key, name.text
                    ):
                        message = f"{entry.id}: {name.text} is a name here, under {key}"
                        hint = (
                            f"if the key {name.text} is meant, line it up with {key}; else take another name"
                        )
                        yield Objection(name.mark, message, hint)
    for section, pairs in (("instruments", view.gathered.instruments), ("glossary", view.gathered.glossary)):
        for word, _ in pairs:
            if FILE.key(word.text) is not None:
                message = f"{word.text} is a name here, under {section}"
                hint = f"if the part {word.text} is meant, begin it at the margin; else take another name"
                yield Objection(word.mark, message, hint)


OWN = {"observations": OBSERVATION, "facts": FACT, "asks": QUESTION}
PLACES = (("observations", ("answers", "bands", "let")), ("facts", ("choices",)), ("asks", ("choices",)))


def _meant(view: View, section: str, item: str, key: str, name: str) -> bool:
    """A let called expected is usual, where a limit uses it."""
    spec = view.pack.observations[item].reading if section == "observations" else None
    if key != "let" or spec is None:
        return False
    texts = [limit for band in spec.bands for limit in (band.low, band.high)]
    return any(name in names_in(text) for text in [*texts, spec.expected, *(text for _, text in spec.let)])
