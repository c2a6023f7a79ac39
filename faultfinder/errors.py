"""The errors that callers of the package may meet: one base, few kinds, each message a whole sentence."""


class FaultFinderError(Exception):
    """Base of every error that is somebody's to mend: the message says what is wrong and what to do."""


class UnknownName(FaultFinderError):
    """A cause, observation, answer, fact or pack that does not exist; the nearest known name is offered."""


class BadAnswer(FaultFinderError):
    """An answer or a reading that cannot be understood, or that no machine can give."""


class BadFact(FaultFinderError):
    """A plate fact outside its range or choices, or facts that contradict one another."""


class Contradiction(FaultFinderError):
    """The answers together are impossible under the rules (total probability 0); names what to take back."""


class TooWide(FaultFinderError):
    """The exact computation would not fit the time or memory allowed; says how wide it is."""


class Refused(FaultFinderError):
    """A safety rule forbids this step now; the message says which and how to get there. No flag suppresses it."""
