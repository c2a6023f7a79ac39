"""The exit statuses of the command, the same everywhere; scripts may rely on them."""

from enum import IntEnum


class Exit(IntEnum):
    OK = 0
    PROBLEMS = 1
    WRONG_USE = 2
    OUR_FAULT = 3
    INTERRUPTED = 130
