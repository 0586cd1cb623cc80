"""What is told of the knitting, beside what the ledger holds of it."""

from tests.planner.bookable import write_bookable


def test_what_is_set_aside_for_it_is_not_taken_to_be_all_it_began_with(run, tmp_path):
    write_bookable(tmp_path)
    assert run("book", "one", "--workspace", tmp_path)[0] == 0
    asked = ("midway", "hat:one", "--workspace", tmp_path, "--need", "main", "--done", "50%", "--left", "slate=3g")
    code, out, err = run(*asked)
    assert (code, out) == (2, "")
    assert err == (
        "lotwise: 5 g of slate are set aside for hat:one: is that what you began with?\n"
        "hint: say so: --began slate=5g; or what it was, the whole skein if you knit from one\n"
    )
    assert run(*asked, "--began", "slate=5g")[1].startswith("Perhaps: ")


def test_what_is_set_aside_for_another_project_is_not_asked_about(run, tmp_path):
    write_bookable(tmp_path)
    assert run("book", "one", "cowl:one", "--workspace", tmp_path)[0] == 0
    asked = ("midway", "hat:one", "--workspace", tmp_path, "--need", "main", "--done", "50%", "--left", "slate=70g")
    assert run(*asked)[1].startswith("Yes: ")
