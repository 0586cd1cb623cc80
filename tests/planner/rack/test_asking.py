"""What `rack` is told of a garment: what goes over what the files have, and what is refused."""

from fractions import Fraction

import pytest

from planner.asking import AskError
from planner.rack.asking import QUESTIONS, garment_of
from stash.fabric import Gauge
from stash.garment import Garment
from stash.units import Quantity, UnitError

IN_FILE = Garment(mass_g=Fraction(400), gauge=Gauge(Fraction("2.2"), Fraction(3)))


def read(flag, text):
    return next(one for one in QUESTIONS if one.flag == flag).read(text)


@pytest.mark.parametrize(
    ("flag", "text", "value"),
    [
        ("--kind", "jumper", "pullover"),
        ("--holes", "3", 3),
        ("--plies", "2", 2),
        ("--main-share", "60%", Fraction(3, 5)),
        ("--price", "0", 0),
        ("--smell", "yes", True),
    ],
)
def test_an_answer_is_read(flag, text, value):
    assert read(flag, text) == value


@pytest.mark.parametrize(
    ("flag", "text", "message", "hint"),
    [
        ("--seams", "linkd", "'linkd' is not one of the answers", "did you mean linked?"),
        ("--felted", "x", "'x' is not one of the answers", "write one of no, slightly, felted"),
        ("--holes", "1.5", "1.5 is not a whole number from 0 to 100", "write one such as 0"),
        ("--colours", "0", "0 is not a whole number from 1 to 12", "write one such as 1"),
        ("--stitches", "0", "0 is out of bounds", "write a number above 0 up to 1,000"),
        ("--price", "100001", "100001 is out of bounds", "write a number from 0 up to 100,000"),
        ("--main-share", "0%", "0% is out of bounds", "write a share above 0% and up to 100%"),
        ("--mass", "0 g", "this must be above 0", "measure it again"),
        ("--mass", "101 kg", "101 kg is more than can be", "look for a digit or a unit too many"),
        ("--over", "101 m", "101 m is more than can be", "look for a digit or a unit too many"),
    ],
)
def test_what_cannot_be_is_refused_with_what_to_write(flag, text, message, hint):
    with pytest.raises(UnitError) as refused:
        read(flag, text)
    assert (str(refused.value), refused.value.hint) == (message, hint)


def test_a_scale_alone_goes_over_the_files_and_leaves_the_mass():
    told = garment_of({"--scale": Quantity(Fraction(5), Fraction(1), "5 g")}, IN_FILE)
    assert (told.mass_g, told.scale_g) == (400, 5)


def test_rows_alone_go_beside_the_stitches_of_the_files():
    """32 rows in 10 cm are 3.2 in 1 cm."""
    assert garment_of({"--rows": Fraction(32)}, IN_FILE).gauge == Gauge(Fraction("2.2"), Fraction("3.2"))


def test_new_stitches_alone_leave_no_rows_of_before():
    """Rows counted with other stitches were counted wrong too."""
    assert garment_of({"--stitches": Fraction(18)}, IN_FILE).gauge == Gauge(Fraction("1.8"), None)


def test_rows_without_any_stitches_are_refused():
    with pytest.raises(AskError, match="--rows needs --stitches beside it"):
        garment_of({"--rows": Fraction(30)}, Garment())
