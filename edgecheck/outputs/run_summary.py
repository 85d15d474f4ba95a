"""What a command says of a finished run: one line of counts, and remarks."""

from collections.abc import Iterator

from edgecheck.outputs.words import VERDICT_ORDER
from edgecheck.screening.run import Run


def counts_line(run: Run) -> str:
    """Rows by verdict: "3 go, 5 conditional"."""
    counts = run.verdicts
    return ", ".join(f"{counts[word]} {word}" for word in VERDICT_ORDER if counts.get(word))


def remarks(run: Run) -> Iterator[str]:
    """Rows that could not be used, what was taken over, doubtful cells, notes, answers of a survey.

    Parameters
    ----------
    run : Run
        Finished.

    Yields
    ------
    str
        One line each.
    """
    unusable = run.verdicts.get("unusable", 0)
    if unusable:
        usable = len(run.results) - unusable
        for place, site in enumerate(run.plan.site_list.sites):
            if run.ranks[site.row] > usable:  # they stand last
                yield from (f"unusable: {fault}" for fault in run.results[place].faults)
    if run.taken_over:
        yield f"taken over from the earlier run: {run.taken_over} rows"
    cautioned = sum(len(row.cautions) for row in run.plan.site_list.sites)
    yield (
        f"rows: {len(run.results) - unusable} usable, {unusable} unusable; cells with a caution: {cautioned}"
    )
    yield from (f"note: {note.text}" for note in run.plan.notes)
    for change in run.plan.site_list.changes:
        old = f"{change.old!r} became " if change.old else ""
        yield f"survey: {change.site_id}, {change.key}: {old}{change.new!r}"
