"""Of two rulings the stricter counts; the milder is told beside it only where something else lifts it."""

import pytest

from archgen.publication.rights import Answer, LiftedBy, Ruling

NO, HOLD, YES = (Ruling(answer, (answer.name,)) for answer in (Answer.NO, Answer.HOLD, Answer.YES))


@pytest.mark.parametrize(("strict", "mild"), [(NO, HOLD), (NO, YES), (HOLD, YES)])
def test_the_stricter_is_told_alone(strict, mild):
    assert strict.worse(mild) == mild.worse(strict) == strict


@pytest.mark.parametrize("lifted_by", [other for other in LiftedBy if other is not LiftedBy.SETTING])
def test_what_something_else_lifts_is_told_too(lifted_by):
    other = Ruling(Answer.HOLD, ("asked",), lifted_by)
    found = NO.worse(other)
    assert (found.answer, set(found.reasons)) == (Answer.NO, {"NO", "asked"})
