"""The survey of a run: what to find out, site by site, in list order."""

from collections.abc import Iterator

from edgecheck.checks.survey import survey_items
from edgecheck.inputs.survey_columns import SurveyItem
from edgecheck.screening.run import Run


def survey_rows(run: Run) -> Iterator[SurveyItem]:
    """What to find out at every site of a run.

    Parameters
    ----------
    run : Run
        A finished run.

    Yields
    ------
    SurveyItem
        Sites in list order; within a site the question to ask first comes first.
    """
    sites = run.plan.site_list.sites
    for site, result in zip(sites, run.results, strict=True):
        yield from survey_items(
            site, result, run.plan.criteria.need, lookalikes=run.plan.site_list.lookalikes
        )
