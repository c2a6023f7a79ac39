"""The kinds of problem that reading and building a pack can tell; the checks have their own (checks/)."""

from __future__ import annotations

from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import ERROR, WARNING

_CAUSE = """
causes:
  knob_loose:
    title: Knob loose
    how_common: {common}
    hazard: none
    remedy: Replace the knob
    minutes: {minutes}
    if_missed: 60
    shows: {shows}
"""


def _cause(common: str = "rare", minutes: str = "5", shows: str = "{lid_sticks: often}") -> str:
    return _CAUSE.replace("{common}", common).replace("{minutes}", minutes).replace("{shows}", shows)


def _look(ask: str = "Is the hinge worn?", answers: str = "yes_no", more: str = "") -> str:
    return f"observations:\n  hinge_worn:\n    kind: look\n    ask: {ask}\n    answers: {answers}\n{more}"


def _reading(bands: str, unit: str = "ohm", more: str = "") -> str:
    return (
        "observations:\n  lamp_resistance:\n    kind: reading\n    ask: Resistance of the lamp\n"
        f"    quantity: resistance\n    unit: {unit}\n    bands: {bands}\n    access: open_dead\n"
        f"    minutes: 2\n{more}"
    )


def _plate(rule: str) -> str:
    return (
        f"pack: {{title: Lamp, version: 1, plate: [{{watts: lamp_watts, ohms: {rule}}}]}}\n"
        "facts:\n  lamp_watts: {ask: Power, kind: number, unit: W, range: [1, 99]}\n"
        "  lamp_volts: {ask: Voltage, kind: number, unit: V, range: [200, 260]}\n"
        "  lamp_ohms: {ask: Resistance, kind: number, unit: ohm, range: [1, 9999]}\n" + _look()
    )


def _fact(rest: str) -> str:
    return f"facts:\n  lamp_watts: {{ask: Power of the lamp, {rest}}}\n"


READING_CODES: tuple[Code, ...] = (
    # What is wrong with a file as a file.
    Code(
        "no-such-pack",
        ERROR,
        "there is no such pack",
        "A pack is a folder, a file, or the name of a shipped one.",
        such_as="faultfinder check rules/MY_PAK, where the folder is called rules/MY_PACK.",
    ),
    Code(
        "no-files",
        ERROR,
        "a folder without rule files",
        "A pack is made of files that end in .yaml.",
        such_as="a folder with nothing in it but notes.txt; save the rules as heat.yaml.",
    ),
    Code(
        "unreadable",
        ERROR,
        "a file cannot be read",
        "The system refuses it: look at its rights, or at the disk.",
        such_as="heat.yaml belongs to somebody else; make it readable: chmod a+r heat.yaml.",
    ),
    Code(
        "too-big",
        ERROR,
        "too much for one pack",
        "A rule file has a megabyte at most, so that a wrong file (a picture, a log) is refused at once.",
        such_as="a photograph was saved as heat.yaml.",
    ),
    Code(
        "not-utf8",
        ERROR,
        "the file is not UTF-8 text",
        "Rule files are UTF-8, so that they read alike everywhere.",
        such_as="the editor saved it as UTF-16 or in an old Windows code; choose UTF-8 where it saves.",
    ),
    Code(
        "strange-character",
        ERROR,
        "a character that cannot stand in a rule file",
        "Control characters, halves of characters, invisible and direction-changing ones make a text read "
        "differently from what it says.",
        _look('"Is the hinge\\ud800 worn?"'),
        _look(),
    ),
    Code(
        "tab",
        ERROR,
        "a tab character",
        "A tab is as wide as each program likes, so columns and indentation would differ. Use spaces.",
        _look("Is the\thinge worn?"),
        _look(),
    ),
    Code(
        "yaml-syntax",
        ERROR,
        "the file cannot be read as YAML",
        "The text breaks the form of YAML: a quote or bracket is not closed, a line is indented wrongly, a text with "
        "': ' in it stands without quotes.",
        _look("Is it: worn?"),
        _look("'Is it: worn?'"),
    ),
    Code(
        "anchor",
        ERROR,
        "an anchor or alias",
        "Anchors (&) and aliases (*) hide where a value comes from. Write the text out.",
        _look("&q Worn?"),
        _look("'& worn?'"),
    ),
    Code(
        "tag",
        ERROR,
        "a tag",
        "A tag (!) asks to build something else than text. Quote a text that begins with !.",
        _look("!Worn Worn?"),
        _look("'!Worn?'"),
    ),
    Code(
        "document",
        ERROR,
        "several documents or a directive in one file",
        "One file is one document; '---' may stand on its first line only, and '%' lines not at all.",
        _look() + "---\n" + _look(),
        "---\n" + _look(),
    ),
    Code(
        "too-deep",
        ERROR,
        "nested too deep",
        "The rule language needs seven levels; far more is no rule file.",
        "causes: [[[[[[[[[[[[[[]]]]]]]]]]]]]]\n",
        _cause(),
    ),
    Code(
        "bad-key",
        ERROR,
        "a key that is no word",
        "A key is a word before its ':'. A text in braces or brackets is a mapping or list; put it in quotes.",
        "[a, b]: c\n",
        _look(),
    ),
    Code(
        "duplicate-key",
        ERROR,
        "a key given twice",
        "Which of the two was meant cannot be known; keeping the last in silence would drop the other.",
        _look(more="    answers: yes_no\n"),
        _look(),
    ),
    Code(
        "empty-file",
        WARNING,
        "a file without rules",
        "An empty file does nothing; somebody may miss its rules.",
        such_as="a file with nothing but remarks in it; delete it, or write its rules.",
    ),
    Code(
        "cut-text",
        WARNING,
        "a text that a # cuts off",
        "A # with a space in front of it begins a remark: what follows is not read. A text with such a sign stands "
        "in quotes.",
        _look("Is knob #2 worn?"),
        _look('"Is knob #2 worn?"'),
    ),
    Code(
        "passed-over",
        WARNING,
        "a file that is not read",
        "Files of a pack end in .yaml. An editor that puts .txt behind the name takes its rules away in silence.",
        such_as="heat.yaml.txt; name it heat.yaml.",
    ),
    # What is wrong with keys and values.
    Code(
        "unknown-key",
        ERROR,
        "a key that does not exist",
        "A misspelt key would be a rule silently weaker than it was written.",
        _look(more="    dangr: {yes: wet_found}\n"),
        _look(more="    danger: {yes: wet_found}\n"),
    ),
    Code(
        "missing-key",
        ERROR,
        "a key that must be there",
        "Without it the item means nothing, and no default would be honest.",
        _cause().replace("    hazard: none\n", ""),
        _cause(),
    ),
    Code(
        "missing-value",
        ERROR,
        "a key without a value",
        "A key that is there means something; leave it out to get the default.",
        _look(more="    how:\n"),
        _look(more="    how: Look from above.\n"),
    ),
    Code(
        "wrong-shape",
        ERROR,
        "a list, mapping or text where something else belongs",
        "The message says what belongs there: [a, b] is a list, {a: b} a mapping.",
        _look(more="    needs: multimeter\n"),
        _look(more="    needs: [multimeter]\n"),
    ),
    Code(
        "bad-number",
        ERROR,
        "no number where one belongs",
        "Numbers are written 5, 0.5 or 1e6, with a point and without quotes or units.",
        _cause(minutes="5 min"),
        _cause(minutes="5"),
    ),
    Code(
        "number-out-of-range",
        ERROR,
        "a number that cannot be",
        "The message says between what it must lie: a chance between 0 and 1, minutes under a day.",
        _cause(common="1.5"),
        _cause(common="0.15"),
    ),
    Code(
        "bad-word",
        ERROR,
        "a word that is not known here",
        "The key takes one of a few words; the nearest one is offered.",
        _cause(common="comon"),
        _cause(common="common"),
    ),
    Code(
        "bad-name",
        ERROR,
        "no proper name",
        "Names of things (ids) are small letters, digits and _, beginning with a letter: they are typed, sorted and "
        "kept in records. true, false and null are taken for values by editors.",
        "observations:\n  Hinge-Worn: {kind: look, ask: Worn?, answers: yes_no}\n",
        "observations:\n  hinge_worn: {kind: look, ask: Worn?, answers: yes_no}\n",
    ),
    Code(
        "too-long",
        ERROR,
        "a text too long for its place",
        "A title or the name of a remedy is read at a glance; what is longer goes under how, why or remedy_how.",
        _cause().replace(
            "Replace the knob",
            "Replace the knob and the spring behind it and the spindle and its pin as well",
        ),
        _cause(),
    ),
    Code(
        "key-not-here",
        ERROR,
        "a key that does not go with the others",
        "Only a reading has bands; only a fact of kind number has a range.",
        _look(more="    unit: ohm\n"),
        _look(),
    ),
    Code(
        "remedy-in-use",
        ERROR,
        "a remedy on a running machine",
        "No remedy is done while the machine is in use: remedy_need is anywhere, covers_on, isolated or open_dead.",
        _cause() + "    remedy_need: in_use\n",
        _cause() + "    remedy_need: covers_on\n",
    ),
    Code(
        "unknown-act",
        ERROR,
        "a step of an act that is not known",
        "The acts are a fixed table (see Acts in the guide), since each has the access states in which it "
        "may be shown.",
        _look(more="    how:\n      - lok: Look at it with a lamp.\n"),
        _look(more="    how:\n      - look: Look at it with a lamp.\n"),
    ),
    Code(
        "open-live",
        ERROR,
        "access to an open machine that may be live",
        "There is no 'covers off and live' to work in. What is behind a cover is looked at and measured with "
        "access: open_dead.",
        _look(more="    access: open_unproved\n"),
        _look(
            more="    access: open_dead\n    how:\n      - uncover: Take the cover off.\n      - look: Look.\n"
        ),
    ),
    # What is wrong with names and how things hang together.
    Code(
        "no-pack",
        ERROR,
        "no file says what the pack is",
        "One file of the folder, usually pack.yaml, has the key pack: with a title and a version.",
        _look(),
        "pack: {title: Lamp, version: 1}\n" + _look(),
        alone=True,
    ),
    Code(
        "duplicate-id",
        ERROR,
        "a name given twice",
        "Causes, states, observations and questions share one list of names over all files of a pack.",
        _cause().replace("knob_loose", "element_open"),
        _cause(),
    ),
    Code(
        "unknown-name",
        ERROR,
        "a name of something that does not exist",
        "A link, a condition or a proof names a cause, observation, answer, fact or instrument that no file has.",
        _cause(shows="{lid_stiks: often}"),
        _cause(shows="{lid_sticks: often}"),
    ),
    Code(
        "logged-of-another-quantity",
        ERROR,
        "a figure of a logged cycle that is no such quantity",
        "A share of time is no resistance. The reference lists each figure with what it says.",
        _reading("{whole: [0, 5], broken: [5, OL]}", more="    logged: heat_share\n"),
        _reading("{whole: [0, 5], broken: [5, OL]}"),
    ),
    Code(
        "plate-rule",
        ERROR,
        "plate facts that cannot be held against one another",
        "Watts are held against ohms or amps, at some volts, or against the watts of parts. Each fact stands in its "
        "base unit: W, V, ohm, A.",
        _plate("lamp_ohms"),
        _plate("lamp_ohms, volts: lamp_volts"),
        alone=True,
    ),
    Code(
        "wrong-fact",
        ERROR,
        "a fact of the wrong kind",
        "Conditions ask for facts with choices; expressions stand on facts that are numbers.",
        _look(more="    applies: {volts: high}\n"),
        _look(more="    applies: {type: corded}\n"),
    ),
    Code(
        "few-answers",
        ERROR,
        "too few answers",
        "A question with one answer asks nothing: the healthy one, and at least one more.",
        _look(answers="{fine: Fine}"),
        _look(answers="{fine: Fine, worn: Worn}"),
    ),
    Code(
        "which-answer",
        ERROR,
        "a strength without its answer",
        "A bare strength means the one abnormal answer. Where there are several, say which.",
        _cause(shows="{scale_seen: often}"),
        _cause(shows="{scale_seen: {thin: often}}"),
    ),
    Code(
        "link-to-healthy",
        ERROR,
        "a chance for the healthy answer",
        "What is not said is healthy already; the healthy answer stands first in answers:. A link to it means that "
        "answers are in the wrong order, or that the link should not be there.",
        _cause(shows="{lid_sticks: {no: often}}"),
        _cause(shows="{lid_sticks: {yes: often}}"),
    ),
    Code(
        "sum-over-one",
        ERROR,
        "chances that add up to more than 1",
        "One answer is given at a time; what the abnormal ones leave over is the healthy one.",
        _cause(shows="{scale_seen: {thin: often, thick: often}}"),
        _cause(shows="{scale_seen: {thin: often, thick: sometimes}}"),
    ),
    Code(
        "shares-not-one",
        ERROR,
        "shares of the choices that do not add up to 1",
        "Every machine has one of the choices, so their usual shares add up to 1.",
        """
facts:
  filter: {ask: Has it a filter?, kind: choice, choices: {yes: "Yes", no: "No"}, usual: [{shares: {yes: 0.4}}]}
""",
        """
facts:
  filter: {ask: Filter?, kind: choice, choices: {yes: "Yes", no: "No"}, usual: [{shares: {yes: 0.4, no: 0.6}}]}
observations:
  filter_seen: {kind: look, ask: Is the filter torn?, answers: yes_no, access: covers_on, applies: {filter: yes}}
states:
  filter_gone: {title: Filter gone, brought_on_by: {scale_thick: rarely}, shows: {filter_seen: often}}
""",
    ),
    Code(
        "healthy-danger",
        ERROR,
        "the healthy answer as danger sign",
        "The first answer is the healthy one. If it is the danger, the answers are in the wrong order.",
        _look(more="    danger: {no: wet_found}\n"),
        _look(more="    danger: {yes: wet_found}\n"),
    ),
    Code(
        "access-unsaid",
        WARNING,
        "nothing says what access it asks for",
        "What is seen, heard or smelt may be outside, on a running machine or behind a cover. Where a rule does not "
        "say it is taken as open_dead, the strictest: nobody is led to look behind a cover that is still live.",
        "observations:\n  hinge_seen: {kind: look, ask: Is the hinge cracked?, answers: yes_no}\n",
        "observations:\n  hinge_seen: {kind: look, access: covers_on, ask: Is the hinge cracked?, answers: yes_no}\n",
    ),
    Code(
        "bad-expression",
        ERROR,
        "an expression that cannot be read",
        "Expressions have numbers, names of facts and of let:, + - * / ** ( ) and the functions of the guide.",
        _reading("{whole: [0, 5 x volts], broken: [5 x volts, OL]}"),
        _reading("{whole: [0, 5 * volts], broken: [5 * volts, OL]}"),
    ),
    Code(
        "fact-cycle",
        ERROR,
        "class values that wait for one another",
        "A class value may stand on other facts, but not on itself round a corner.",
        "facts:\n"
        "  big: {ask: Big, kind: number, unit: W, range: [1, 9], class_value: 2 * small}\n"
        "  small: {ask: Small, kind: number, unit: W, range: [1, 9], class_value: big / 2}\n",
        "facts:\n"
        "  big: {ask: Big, kind: number, unit: W, range: [1, 9], class_value: 2 * small}\n"
        "  small: {ask: Small, kind: number, unit: W, range: [1, 9], class_value: 2}\n",
    ),
    Code(
        "no-class-value",
        ERROR,
        "a limit on a fact that may stay unknown",
        "A plate may be gone. A fact that limits stand on needs a class value with its spread, or must be required.",
        _fact("kind: number, unit: ohm, range: [1, 9]")
        + _reading("{whole: [0, lamp_watts], broken: [lamp_watts, OL]}"),
        _fact("kind: number, unit: ohm, range: [1, 9], class_value: 5, spread: 0.2")
        + _reading("{whole: [0, lamp_watts], broken: [lamp_watts, OL]}"),
    ),
    Code(
        "unknown-unit",
        ERROR,
        "a unit that is none of its quantity",
        "Readings are converted into this unit; the message lists the ones known.",
        _reading("{whole: [0, 5], broken: [5, OL]}", unit="V"),
        _reading("{whole: [0, 5], broken: [5, OL]}", unit="ohm"),
    ),
    # Besides the rules.
    Code(
        "case-line",
        ERROR,
        "a line of a worked case that cannot be taken",
        "A case is a list of lines, each of them one thing given, answered or expected, with ids of the pack. A "
        "case with a line that cannot be taken fails whatever the rules say; the pack itself loads.",
        such_as="{answer: scale_sean, is: thick}, where the observation is called scale_seen.",
    ),
    Code(
        "case-doubtful",
        WARNING,
        "a line of a worked case that says nothing",
        "What stands below the last expectation is judged by nothing; a required fact that is not given leaves "
        "every sort of machine possible; a reading on a machine that has no such part cannot have been taken; "
        "likely: 0 always holds.",
        such_as="{fact: watts, is: 2200} below the last {likely: ...}; move it up.",
    ),
    Code(
        "practice",
        ERROR,
        "a practice file that cannot be read",
        "No machine can be made for practice until it is put right. What may stand there is in PRACTICE.md.",
        such_as="elment_ohms: 24 under drawn, where what is read off is called element_ohms.",
    ),
    Code(
        "practice-doubtful",
        WARNING,
        "a practice file that says something for nothing",
        "A name that nothing stands on, a key that means nothing in its place, a share that is none.",
        such_as="{reads: ohms, decimal: 1}, where the key is called decimals.",
    ),
    Code(
        "accept-unneeded",
        WARNING,
        "a remark accepts what is not told",
        "A warning is accepted by a remark on its line or above it: # accept CODE: why. When the warning is gone, "
        "the remark would hide the next one.",
        such_as="# accept look-alikes: two wires of one loom, above two causes that an observation now tells apart.",
    ),
    Code(
        "accept-no-reason",
        WARNING,
        "a warning is accepted without a reason",
        "Whoever reads the rules next year must know why the warning does not count here.",
        such_as="# accept no-time: the lamp is seen in passing",
    ),
)
