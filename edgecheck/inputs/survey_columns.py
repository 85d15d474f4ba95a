"""The survey list: one question about one site, and the headings under which questions are written and read.

Writer and reader of a survey share them; a filled-in survey is known by its headings.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class SurveyItem:
    """One question about one site.

    Parameters
    ----------
    site_id, name : str
        As in the list.
    order : int
        1 for the question to ask first at this site.
    key : str
        Column of the list that the answer belongs to. Empty, or no column, where the answer does not belong
        into the list (a value of the unit file, a row with too many cells).
    question : str
        In plain words.
    unit, allowed : str
        Unit of the answer and what it may be.
    who_knows : str
        Who usually has the answer.
    why : str
        What it decides, in words.
    decides : tuple of str
        Ids of the checks that wait for it or rest on it.
    answer : str
        To be filled in.
    """

    site_id: str
    name: str
    order: int
    key: str
    question: str
    unit: str
    allowed: str
    who_knows: str
    why: str
    decides: tuple[str, ...]
    answer: str = ""


SURVEY_COLUMNS: tuple[str, ...] = (
    "site_id",
    "name",
    "order",
    "key",
    "question",
    "unit",
    "allowed",
    "who_knows",
    "why",
    "decides",
    "answer",
)
