"""How figures, spans, lists and chances are said."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        "figure_minutes": "{count} min",
        "figure_hours": "{count} h",
        "figure_seconds": "{count} s",
        "figure_half_a_minute": "half a minute",
        "figure_no_time": "no time",
        "figure_percent": "{count} %",
        "figure_percent_least": "<{count} %",
        "figure_percent_most": ">{count} %",
        "figure_above": "above {low}",
        "figure_below": "below {high}",
        "figure_from_to": "{low} to {high}",
        "figure_any": "any",
        "figure_over_range": "OL",
        "figure_under_range": "-OL",
        "figure_and": "{items} and {last}",
        "figure_or": "{items} or {last}",
        # a chance in words
        "sure_certain": "as good as certain",
        "sure_very_likely": "very likely",
        "sure_likely": "likely",
        "sure_more_likely_than_not": "more likely than not",
        "sure_possible": "possible",
        "sure_not_likely": "not likely",
        # a question or a name, and its answer
        "ask_answer": "{ask} {answer}",
        "name_answer": "{ask}: {answer}",
        "closing_fit_for_use": "fit for use",
        "closing_left_isolated": "left isolated",
        "closing_handed_over": "handed over",
        "answer_yes": "Yes",
        "answer_no": "No",
    }
)
