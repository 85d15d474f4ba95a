"""The survey of a run: what to find out, site by site, in list order."""

from collections.abc import Iterator

from edgecheck.checks.result import Result
from edgecheck.checks.survey import survey_items
from edgecheck.inputs.survey_columns import SurveyItem
from edgecheck.screening.plan import Plan
from edgecheck.screening.run import Run


def questions_at(plan: Plan, place: int, result: Result) -> tuple[SurveyItem, ...]:
    """What to find out at one site.

    Parameters
    ----------
    plan : Plan
        What was screened.
    place : int
        Index of the row in the list.
    result : Result
        What came out for it.

    Returns
    -------
    tuple of SurveyItem
        The question to ask first comes first.
    """
    site_list = plan.site_list
    return survey_items(site_list.sites[place], result, plan.criteria.need, lookalikes=site_list.lookalikes)


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
    for place, result in enumerate(run.results):
        yield from questions_at(run.plan, place, result)
