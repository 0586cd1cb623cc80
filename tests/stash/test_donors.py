from fractions import Fraction

from stash.read import read_stash

FULL = b"""\
scale: 2 g
donors:
  buoy:
    garment: guernsey
    kind: pullover
    size: L
    fibre: 80% wool, 20% polyamide
    mass: 486 g
    seams: linked
    gauge: {stitches: 11, rows: 15, over: 5 cm}
    stitch: ribbing
    panels: [2 x 52 cm x 60 cm, 2 x 20-38 cm x 45 cm]
    felted: slightly
    pilled: yes
    holes: 2
    stains: 1
    smell: no
    moths: yes
    colours: 2
    main-share: 70%
    fancy: no
    plies: 2
    colour: navy
    price: 4.50
"""


def read(text):
    found = read_stash([("rack.yaml", text)])
    assert found.faults == ()
    return found.stash.donors


def test_everything_seen_is_read():
    seen = read(FULL)["buoy"].seen
    assert (seen.kind, seen.size, seen.seams, seen.felted) == ("pullover", "L", "linked", "slightly")
    assert (seen.mass_g, seen.scale_g, seen.price) == (486, 2, Fraction("4.5"))
    assert (seen.gauge.stitches, seen.gauge.rows, seen.over_m) == (Fraction("2.2"), 3, Fraction("0.05"))
    assert (seen.stitch.name, seen.plies, seen.colours, seen.main_share) == ("rib", 2, 2, Fraction("0.7"))
    assert (seen.pilled, seen.holes, seen.stains, seen.smell, seen.moths, seen.fancy) == (
        True,
        2,
        1,
        False,
        True,
        False,
    )
    assert [panel.times for panel in seen.panels] == [2, 2]
    assert seen.colour.hex == "#000080"


def test_a_donor_of_which_nothing_was_seen_is_a_donor():
    donor = read(b"donors:\n  coat: {garment: coat}\n")["coat"]
    assert (donor.garment, donor.mass_g, donor.seams) == ("coat", None, None)
    assert (donor.seen.gauge, donor.seen.panels, donor.seen.felted) == (None, (), "no")


def test_its_own_scale_goes_before_the_files():
    text = b"scale: 2 g\ndonors:\n  coat: {mass: 486 g, scale: 10 g}\n"
    assert read(text)["coat"].seen.scale_g == 10


def test_one_panel_may_stand_without_brackets():
    assert len(read(b"donors:\n  scarf: {panels: 28 cm x 170 cm}\n")["scarf"].seen.panels) == 1
