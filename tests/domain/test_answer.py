"""What follows from an answer: how far along the job is, and which quotes can still be revised."""

import pytest

from domain.answer import AnswerKind, QuoteState, answered_state, quoted_state, revise_problems
from domain.job import JobState


@pytest.mark.parametrize("state", JobState)
def test_a_quote_moves_only_an_enquiry(state: JobState) -> None:
    assert quoted_state(state) is (JobState.QUOTED if state is JobState.ENQUIRY else state)


@pytest.mark.parametrize("kind", AnswerKind)
@pytest.mark.parametrize("state", [JobState.IN_PROGRESS, JobState.INSTALLED, JobState.CLOSED])
def test_no_answer_sets_back_work_that_has_begun(state: JobState, kind: AnswerKind) -> None:
    assert answered_state(state, kind) is state


def test_accepting_and_taking_back_move_a_job_to_and_fro() -> None:
    accepted = answered_state(JobState.QUOTED, AnswerKind.ACCEPTED)
    assert accepted is JobState.ACCEPTED
    assert answered_state(accepted, AnswerKind.WITHDRAWN) is JobState.QUOTED
    assert answered_state(JobState.QUOTED, AnswerKind.DECLINED) is JobState.QUOTED


def test_what_is_accepted_or_replaced_is_not_revised() -> None:
    refused = {state for state in QuoteState if revise_problems(state)}
    assert refused == {QuoteState.ACCEPTED, QuoteState.REPLACED}
