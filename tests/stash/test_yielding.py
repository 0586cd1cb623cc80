import pytest

from stash.garment import Garment
from stash.yielding import LINKED, losses, share_kept


def test_a_linked_garment_gives_85_percent():
    """Common practice, no source."""
    share = share_kept(Garment(seams="linked"))
    assert (share.best, share.relative_u) == (0.85, LINKED.relative_u)


def test_cut_seams_give_less_and_are_less_sure():
    linked, cut = (share_kept(Garment(seams=seams)) for seams in ("linked", "cut"))
    assert cut.best < linked.best
    assert cut.relative_u > linked.relative_u


def test_felted_gives_nothing():
    assert share_kept(Garment(felted="felted")) is None


@pytest.mark.parametrize(
    "worse", [{"holes": 2}, {"stains": 4}, {"pilled": True}, {"moths": True}, {"felted": "slightly"}, {"fancy": True}]
)
def test_every_flaw_takes_from_it(worse):
    assert share_kept(Garment(seams="linked", **worse)).best < 0.85
    assert len(losses(Garment(seams="linked", **worse))) == 2


def test_more_holes_leave_less():
    shares = [share_kept(Garment(seams="linked", holes=holes)).best for holes in range(0, 100, 5)]
    assert shares == sorted(shares, reverse=True)
