"""Fibres and blends: names, sums, densities, moisture, felting, mixing."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stash.fibre import (
    FibreError,
    allowance,
    canonical_fibre,
    density,
    distance,
    family,
    felts_default,
    mix,
    read_blend,
    read_fibre_or_family,
    share_of,
    show_blend,
)
from stash.fibrenames import ALLOWANCE, FAMILIES, FIBRES, WORDS

# Regulation (EU) No 1007/2011, Annex I, the names numbered 1 to 50 but for asbestos.
ANNEX_I = [
    "wool",
    "alpaca",
    "llama",
    "camel",
    "cashmere",
    "mohair",
    "angora",
    "vicuna",
    "yak",
    "guanaco",
    "cashgora",
    "beaver",
    "otter",
    "animal hair",
    "horsehair",
    "silk",
    "cotton",
    "kapok",
    "flax",
    "linen",
    "true hemp",
    "jute",
    "abaca",
    "manila hemp",
    "alfa",
    "coir",
    "coconut",
    "broom",
    "ramie",
    "sisal",
    "sunn",
    "henequen",
    "maguey",
    "acetate",
    "alginate",
    "cupro",
    "modal",
    "protein",
    "triacetate",
    "viscose",
    "acrylic",
    "chlorofibre",
    "fluorofibre",
    "modacrylic",
    "polyamide",
    "nylon",
    "aramid",
    "polyimide",
    "lyocell",
    "polylactide",
    "polyester",
    "polyethylene",
    "polypropylene",
    "polycarbamide",
    "polyurethane",
    "vinylal",
    "trivinyl",
    "elastodiene",
    "elastane",
    "glass fibre",
    "elastomultiester",
    "elastolefin",
    "melamine",
    "metal",
    "metallic",
    "metallised",
    "paper",
    "polypropylene/polyamide bicomponent",
    "polyacrylate",
]


@pytest.mark.parametrize("name", ANNEX_I)
def test_every_fibre_name_of_the_regulation_is_known(name):
    assert canonical_fibre(name) in FIBRES


@pytest.mark.parametrize(
    ("word", "fibre"),
    [
        ("nylon", "polyamide"),
        ("Rayon", "viscose"),
        ("linen", "flax"),
        ("spandex", "elastane"),
        ("merino", "wool"),
        ("Lambs-wool", "wool"),
        ("shetland", "wool"),
        ("superwash", "wool"),
        ("kid mohair", "mohair"),
        ("angora wool", "angora"),
        ("other fibres", "unknown"),
    ],
)
def test_synonyms_stand_for_one_fibre(word, fibre):
    assert fibre == canonical_fibre(word)


def test_hair_of_other_animals_is_not_wool():
    names = ["alpaca", "mohair", "cashmere", "angora"]
    assert names == [canonical_fibre(name) for name in names]


@pytest.mark.parametrize(
    ("fibre", "expected"),
    [
        ("wool", "animal"),
        ("silk", "animal"),
        ("flax", "plant"),
        ("viscose", "regenerated"),
        ("polyamide", "synthetic"),
        ("unknown", None),
    ],
)
def test_every_fibre_has_its_family_and_an_unknown_one_none(fibre, expected):
    assert expected == family(fibre)


def test_every_word_leads_to_a_fibre():
    assert set(WORDS.values()) == set(FIBRES)


def test_a_blend_is_read_by_name_and_adds_up_to_one():
    blend = read_blend("80% wool, 20% nylon")
    assert {"polyamide": Fraction(1, 5), "wool": Fraction(4, 5)} == dict(blend.shares)
    assert list(blend.shares) == ["polyamide", "wool"]
    assert (Fraction(0), "80% wool, 20% nylon") == (blend.superwash, blend.text)


@pytest.mark.parametrize("text", ["wool", "100% wool", "100 % wool", "Merino", "50% merino, 50% lambswool"])
def test_one_fibre_alone_is_all_of_it_and_kinds_of_wool_add_up(text):
    assert dict(read_blend(text).shares) == {"wool": 1}


def test_three_times_33_3_makes_thirds():
    shares = read_blend("33.3% wool, 33.3% silk, 33.3% cotton").shares
    assert [Fraction(1, 3)] * 3 == list(shares.values())


@pytest.mark.parametrize("text", ["99% wool", "60% wool, 41% silk"])
def test_a_sum_within_one_point_of_100_is_taken_as_100(text):
    assert sum(read_blend(text).shares.values()) == 1


def test_superwash_is_wool_and_counted_apart():
    blend = read_blend("60% superwash wool, 40% wool")
    assert (Fraction(3, 5), {"wool": Fraction(1)}) == (blend.superwash, dict(blend.shares))


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("90% wool", "the shares add up to 90%, not 100% (90)", "make them add up to 100%"),
        ("80% wool, 30% silk", "the shares add up to 110%, not 100% (80 + 30)", "make them add up to 100%"),
        ("50% wool, 50% wool", "'wool' is named twice", "add the shares up and write wool once"),
        ("50% nylon, 50% polyamide", "'nylon' and 'polyamide' are one fibre, which is named twice", "add the shares up and write polyamide once"),
        ("80% wool / 20% nylon", "the parts of a blend are not told apart", "write commas between them: 80% wool, 20% nylon"),
        ("80% wool and 20% nylon", "the parts of a blend are not told apart", "write commas between them: 80% wool, 20% nylon"),
        ("wool 80%, nylon 20%", "'wool 80%' is the wrong way round", "write 80% wool"),
        ("80 wool, 20 nylon", "'80 wool' has no % sign", "write 80% wool"),
        ("wool, nylon", "'wool' has no share", "write its share too, for example 20% wool"),
        ("80%, 20% silk", "'80%' has no fibre", "write the fibre too, for example 80% wool"),
        ("80% wool, ", "a comma has no fibre beside it", "write it like 80% wool, 20% polyamide"),
        ("", "no fibre is given", "write it like 80% wool, 20% polyamide; or unknown"),
        ("80% whool, 20% silk", "'whool' is not a fibre known here", "did you mean wool?"),
        ("100% xyzzy", "'xyzzy' is not a fibre known here", "write the fibre as on the label, such as wool or cotton; or unknown"),
        ("120% wool", "a share of 120% cannot be", "write a share above 0% and up to 100%"),
        ("0% wool, 100% silk", "a share of 0% cannot be", "write a share above 0% and up to 100%"),
        ("33,3% wool, 66,7% silk", "a share is written with a comma", "write a point before decimals: 33.3% wool, 66.7% silk"),
    ],
)  # fmt: skip
def test_what_is_no_blend_is_refused(text, message, hint):
    with pytest.raises(FibreError) as caught:
        read_blend(text)
    assert (message, hint) == (str(caught.value), caught.value.hint)


def test_rules_name_a_fibre_or_a_family():
    assert [read_fibre_or_family("Nylon"), read_fibre_or_family("plant")] == ["polyamide", "plant"]
    with pytest.raises(FibreError) as caught:
        read_fibre_or_family("anmal")
    assert caught.value.hint == "did you mean animal?"


def test_a_share_is_of_a_fibre_or_of_a_family():
    blend = read_blend("50% wool, 20% silk, 30% cotton")
    assert [Fraction(1, 2), Fraction(7, 10), Fraction(0)] == [
        share_of(blend, name) for name in ("wool", "animal", "synthetic")
    ]


@pytest.mark.parametrize(
    ("fibre", "grams"),
    # Morton & Hearle, Physical Properties of Textile Fibres, Table 5.1, in g/cm3
    [
        ("wool", "1.31"),
        ("cotton", "1.52"),
        ("silk", "1.34"),
        ("nylon", "1.14"),
        ("polyester", "1.39"),
        ("acrylic", "1.18"),
        ("viscose", "1.49"),
    ],
)
def test_densities_are_the_published_ones(fibre, grams):
    assert Fraction(grams) == density(read_blend(fibre))


@pytest.mark.parametrize(
    ("fibre", "grams"),
    # common practice, no source
    [
        ("mohair", "1.31"),
        ("linen", "1.50"),
        ("ramie", "1.50"),
        ("modal", "1.50"),
        ("bamboo", "1.50"),
        ("elastane", "1.20"),
        ("polypropylene", "0.91"),
        ("unknown", "1.31"),
    ],
)
def test_other_densities_are_those_of_common_practice(fibre, grams):
    assert Fraction(grams) == density(read_blend(fibre))


def test_in_a_blend_the_volumes_add_up():
    expected = 1 / (Fraction("0.8") / Fraction("1.31") + Fraction("0.2") / Fraction("1.14"))
    assert expected == density(read_blend("80% wool, 20% nylon"))


@pytest.mark.parametrize(
    ("fibre", "percent"),
    # Regulation (EU) No 1007/2011, Annex IX (hair, bamboo and unknown as wool and viscose: common practice)
    [
        ("wool", "17"), ("alpaca", "17"), ("silk", "11"), ("cotton", "8.5"), ("ramie", "8.5"), ("linen", "12"), ("hemp", "12"),
        ("jute", "17"), ("viscose", "13"), ("modal", "13"), ("lyocell", "13"), ("bamboo", "13"), ("cupro", "13"), ("acetate", "9"),
        ("acrylic", "2"), ("nylon", "6.25"), ("polyester", "1.5"), ("elastane", "1.5"), ("polypropylene", "2"), ("unknown", "17"),
    ],
)  # fmt: skip
def test_moisture_allowances_are_the_agreed_ones(fibre, percent):
    assert Fraction(percent) == allowance(read_blend(fibre))


def test_a_blends_allowance_is_the_mean_of_its_fibres():
    assert Fraction("14.85") == allowance(read_blend("80% wool, 20% nylon"))


def test_allowances_turn_dry_shares_into_the_regulations_own_example():
    # Regulation (EU) No 1007/2011, Annex VIII: dry 10.30 wool, 50.00 polyamide, 39.70 cotton (8.5 and 4.0 lost in the
    # treatment) give 10.97, 48.37, 40.66.
    dry = {"wool": Fraction("10.30"), "polyamide": Fraction("50.00"), "cotton": Fraction("39.70")}
    lost = {"cotton": 4}
    moist = {fibre: mass * (100 + ALLOWANCE[fibre] + lost.get(fibre, 0)) for fibre, mass in dry.items()}
    assert [round(float(100 * mass / sum(moist.values())), 2) for mass in moist.values()] == [10.97, 48.37, 40.66]


@pytest.mark.parametrize(
    ("text", "felts"),
    [
        ("wool", True),
        ("70% wool, 30% nylon", True),
        ("40% wool, 30% alpaca, 30% nylon", True),
        ("69% wool, 31% nylon", None),
        ("31% wool, 69% cotton", None),
        ("30% wool, 70% cotton", False),
        ("silk", False),
        ("superwash wool", False),
        ("70% superwash, 30% mohair", False),
        ("50% superwash wool, 50% merino", None),
        ("unknown", False),
        ("75% wool, 25% unknown", True),
    ],
)
def test_wool_and_hair_felt_unless_superwash_and_an_unknown_share_counts_as_none(text, felts):
    assert felts is felts_default(read_blend(text))


def test_a_mix_weighs_its_blends_and_keeps_the_superwash():
    mixed = mix([(read_blend("superwash wool"), 300), (read_blend("cotton"), 100)])
    assert ({"cotton": Fraction(1, 4), "wool": Fraction(3, 4)}, Fraction(3, 4)) == (dict(mixed.shares), mixed.superwash)
    assert mixed.text == "75% wool, 25% cotton"


def test_a_mix_of_no_weight_is_refused():
    with pytest.raises(ValueError, match="above zero"):
        mix([(read_blend("wool"), 0)])


def test_blends_differ_by_half_the_sum_of_differences_in_points():
    assert distance(read_blend("80% wool, 20% nylon"), read_blend("wool")) == 20
    assert distance(read_blend("cotton"), read_blend("wool")) == 100


def test_a_blend_is_shown_largest_share_first():
    assert show_blend(read_blend("20% nylon, 80% wool")) == "80% wool, 20% polyamide"


_BLENDS = st.lists(st.sampled_from(sorted(FIBRES)), min_size=1, max_size=4, unique=True).flatmap(
    lambda names: st.lists(st.integers(1, 100), min_size=len(names), max_size=len(names)).map(
        lambda weights: mix([(read_blend(name), weight) for name, weight in zip(names, weights, strict=True)])
    )
)


@given(_BLENDS, _BLENDS, _BLENDS)
def test_difference_between_blends_is_a_distance(one, two, three):
    assert distance(one, two) == distance(two, one)
    assert distance(one, one) == 0
    assert distance(one, three) <= distance(one, two) + distance(two, three)


@given(_BLENDS)
def test_every_blend_adds_up_to_one_family_by_family(blend):
    families = sum(share_of(blend, name) for name in FAMILIES)
    assert families + share_of(blend, "unknown") + share_of(blend, "glass") == 1
