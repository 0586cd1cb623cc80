"""A random case as the files a person would have written, so that the readers are tried too."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from patterns.needs import YarnRange

WIDEST = Fraction(1, 2)  # of a count


def readable(case):
    """The case without what the readers refuse: very wide counts, and shares that contradict each other."""
    patterns = {
        name: replace(pattern, needs={own.name: _readable(own) for own in pattern.needs.values()})
        for name, pattern in case.patterns.items()
    }
    return replace(case, patterns=patterns)


def _readable(need):
    middle = (need.yarn.low + need.yarn.high) / 2
    if need.yarn.high > middle * (1 + WIDEST):
        yarn = YarnRange(middle * (1 - WIDEST), middle * (1 + WIDEST), f"{middle} m/100g within 50%")
        need = replace(need, yarn=yarn)
    least = {name: min(share, need.fibre.at_most.get(name, share)) for name, share in need.fibre.at_least.items()}
    return replace(need, fibre=replace(need.fibre, at_least=least))


def to_yaml(case):
    """Path inside the workspace -> text."""
    files = {"stash/all.yaml": _stash(case.stash)}
    for pattern in case.patterns.values():
        files[f"patterns/{pattern.id}.yaml"] = _pattern(pattern)
    files["projects.yaml"] = _projects(case)
    return files


def _number(value):
    """A fraction with few decimals, written out."""
    whole, rest = divmod(round(value * 10_000), 10_000)
    assert value * 10_000 == whole * 10_000 + rest
    return f"{whole}.{rest:04}".rstrip("0").rstrip(".")


def _percent(share):
    return f"{_number(share * 100)}%"


def _plain(number):
    return f"{number:g}"


def _stash(stash):
    lines = ["lots:"]
    for lot in stash.lots.values():
        felts = {True: "yes", False: "no", None: "unknown"}[lot.felts]
        bleeds = {True: "yes", False: "no", None: "untested"}[lot.bleeds]
        lines += [
            f"  {lot.id}:",
            f"    fibre: {lot.blend.text}",
            f'    colour: "{lot.colour.text}"',
            f"    count: {lot.count.text}",
            f"    felts: {felts}",
            f"    bleeds: {bleeds}",
            "    skeins:",
            *(f"      {skein.id}: {_skein(skein)}" for skein in lot.skeins),
        ]
    return "\n".join(lines) + "\n"


def _skein(skein):
    if skein.length_m is not None:
        size = f"length: {_number(skein.length_m)} m"
    else:
        digits = "" if skein.scale_g == 1 else ".0" if skein.mass_g.denominator == 1 else ""
        size = f"mass: {_number(skein.mass_g)}{digits} g"
    if len(skein.shares) == 1:
        return f"{{{size}}}"
    if skein.assumed_equal:
        return f"{{{size}, pieces: {len(skein.shares)}}}"
    whole = skein.length_m or 100  # beside a mass only their proportion counts
    return f"{{{size}, pieces: [{', '.join(f'{_number(whole * share)} m' for share in skein.shares)}]}}"


def _pattern(pattern):
    lines = [
        f"name: {pattern.name}",
        f"craft: {pattern.craft}",
        f"gauge: {{stitches: {_number(10 * pattern.gauge.stitches)}, rows: {_number(10 * pattern.gauge.rows)}, over: 10 cm}}",
        "yarn: dk",
        f"wash: {pattern.wash}",
        f"reserve: {_percent(pattern.reserve)}",
        *([f"order: [{', '.join(pattern.order)}]"] if pattern.order else []),
        "needs:",
    ]
    for need in pattern.needs.values():
        lines += [f"  {need.name}:", *(f"    {key}: {value}" for key, value in _need(need).items())]
    lines.append("sizes:")
    for size, needs in pattern.sizes.items():
        told = ", ".join(f"{name}: {_amounts(amounts)}" for name, amounts in needs.items())
        lines.append(f"  {size}: {{{told}}}")
    return "\n".join(lines) + "\n"


def _need(need):
    rule = need.lots
    told = {"lots": f"{rule.kind} {rule.most}" if rule.kind in ("alternate", "any") and rule.most else rule.kind}
    if rule.kind in ("by-part", "alternate"):
        told["match"] = "any" if rule.match is None else _plain(rule.match)
    middle, within = need.yarn.text.split(" within ")
    told["yarn"] = f"{{count: {middle}, within: {within}}}"
    low, high = need.strands
    told["strands"] = f"{low}-{high}" if low != high else f"{low}"
    told["marl"] = "yes" if need.marl else "no"
    told["piece"] = f"{_number(need.piece_m)} m"
    if need.joins is not None:
        told["joins"] = f"{need.joins}"
    if _fibre(need.fibre):
        told["fibre"] = f"{{{_fibre(need.fibre)}}}"
    if _colour(need.colour):
        told["colour"] = f"{{{_colour(need.colour)}}}"
    return told


def _fibre(rule):
    told = [] if rule.allow is None else [f"allow: [{', '.join(sorted(rule.allow))}]"]
    for key, shares in (("at-least", rule.at_least), ("at-most", rule.at_most)):
        if shares:
            told.append(f"{key}: {{{', '.join(f'{name}: {_percent(share)}' for name, share in shares.items())}}}")
    if rule.avoid:
        told.append(f"avoid: [{', '.join(sorted(rule.avoid))}]")
    return ", ".join(told)


def _colour(rule):
    told = [] if rule.near is None else [f'near: "{rule.near.text}", within: {_plain(rule.within)}']
    for key, names in (
        ("against", rule.against),
        ("lighter-than", rule.lighter_than),
        ("darker-than", rule.darker_than),
        ("same-as", rule.same_as),
        ("not", rule.not_in),
    ):
        if names:
            told.append(f"{key}: {names[0] if len(names) == 1 else '[' + ', '.join(names) + ']'}")
    if rule.against_lightness == rule.lighter_lightness:  # one `lightness` holds for all
        told.append(f"lightness: {_plain(rule.against_lightness)}")
    return ", ".join(told)


def _amounts(amounts):
    if None in amounts:
        return f"{_number(amounts[None].metres)} m"
    return f"{{{', '.join(f'{part}: {_number(amount.metres)} m' for part, amount in amounts.items())}}}"


def _projects(case):
    lines = [f"confidence: {_percent(case.confidence)}", "projects:"]
    for row in case.asked:
        project = row.project
        told = [f"make: {project.pattern}", f"size: [{', '.join(project.sizes)}]", f"want: {_number(project.want)}"]
        told += [f"id: {row.id}"] if row.id else []
        told += ["must: yes"] if project.must else []
        told += ["bleed-risk: accept"] if project.bleed_risk else []
        told += [f"reserve: {_percent(project.reserve)}"] if row.own_reserve else []
        told += [f"copies: {row.copies}"] if row.copies > 1 else []
        if project.pins:
            told.append(f"needs: {{{', '.join(f'{need}: {_pin(pin)}' for need, pin in project.pins.items())}}}")
        lines.append(f"  - {{{', '.join(told)}}}")
    return "\n".join(lines) + "\n"


def _pin(pin):
    told = [] if pin.only is None else [f"only: [{', '.join(sorted(pin.only))}]"]
    told += [f"without: [{', '.join(sorted(pin.without))}]"] if pin.without else []
    return f"{{{', '.join(told)}}}"
