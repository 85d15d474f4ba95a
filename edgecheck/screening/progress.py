"""The line that shows how far a run is, for a terminal.

In: progress, row after row. Out: a text now and then: rows done, rate, time left, verdicts so far.
"""

from edgecheck.screening.run import Progress

EVERY_S = 0.5
_WORDS = ("go", "conditional", "undecided", "no-go", "unusable")


class ProgressLine:
    """Makes the line, at most twice a second.

    Parameters
    ----------
    width : int
        Of the terminal, in characters.
    """

    def __init__(self, width: int = 80) -> None:
        self._width = max(20, width - 1)
        self._shown = float("-inf")

    def text(self, progress: Progress) -> str | None:
        """The line as wide as the terminal, None where it is too early for another one."""
        if progress.done < progress.of and progress.seconds - self._shown < EVERY_S:
            return None
        self._shown = progress.seconds
        return line(progress)[: self._width].ljust(self._width)


def line(progress: Progress) -> str:
    """Rows done, rate, time left, verdicts so far.

    The rate is that of rows computed in this run; what was taken over from an earlier one cost nothing.
    """
    parts = [f"{progress.done} of {progress.of} sites"]
    computed = progress.done - progress.taken_over
    if computed > 0 and progress.seconds > 0.0 and progress.done < progress.of:
        rate = computed / progress.seconds
        parts += [f"{rate:.1f}/s" if rate < 10.0 else f"{rate:.0f}/s"]
        parts += [f"{time_left((progress.of - progress.done) / rate)} left"]
    counts = ", ".join(f"{progress.verdicts[word]} {word}" for word in _WORDS if progress.verdicts.get(word))
    return f"{', '.join(parts)}: {counts}" if counts else ", ".join(parts)


def time_left(seconds: float) -> str:
    """A duration in words: "40 s", "12 min", "3 h 20 min"."""
    if seconds < 99.5:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60.0)
    if minutes < 100:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60} min"
