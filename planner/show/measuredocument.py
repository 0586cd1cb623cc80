"""What `measure` answers, as a document for other programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.show.documents import error_document, figure
from stash.weightclass import m_per_100g

if TYPE_CHECKING:
    from planner.measure.figures import Interval, Measurement, YarnFigures
    from planner.measure.newlot import Added
    from stash.measuring import Pooled

    Document = dict[str, Any]


def measure_document(found: Measurement, added: Added | None) -> Document:
    """Count, class, metres, budget; intervals as best, low, high; uncertainties standard ones, as parts of 1."""
    yarn = found.yarn
    return {
        "format": "lotwise/measure-1",
        "confidence": figure(found.confidence),
        "fibre": {fibre: figure(share) for fibre, share in found.told.blend.shares.items()},
        "measured": None if found.measured_m is None else _ends("length_m", found.measured_m),
        "count": None if yarn is None else _count(yarn),
        "class": None if yarn is None else _class(yarn),
        "plies": found.told.plies,
        "ply_m_per_100g": None if yarn is None or yarn.ply_m_per_100g is None else figure(yarn.ply_m_per_100g),
        "batch": _batch(found),
        "samples": [] if yarn is None or yarn.pooled is None else _samples(yarn.pooled),
        "scatter": None if yarn is None or yarn.pooled is None else _scatter(yarn.pooled),
        "budget": [] if yarn is None else _budget(yarn),
        "sharpen": [] if yarn is None else _sharpen(yarn),
        "warnings": [] if yarn is None or yarn.odd is None else [yarn.odd[0]],
        "added": None if added is None else added_document(added),
    }


def added_document(added: Added) -> Document:
    return {
        "lot": added.lot.id,
        "file": added.file,
        "written": added.written,
        "text": added.text,
        "warnings": error_document("", "", added.warnings)["faults"],
    }


def _ends(name: str, interval: Interval) -> Document:
    stem, _, unit = name.partition("_")
    return {
        name: figure(interval.best),
        f"{stem}_low_{unit}": figure(interval.low),
        f"{stem}_high_{unit}": figure(interval.high),
    }


def _count(yarn: YarnFigures) -> Document:
    return {
        "tex": figure(yarn.count.tex),
        "m_per_100g": figure(yarn.m_per_100g.best),
        "low_m_per_100g": figure(yarn.m_per_100g.low),
        "high_m_per_100g": figure(yarn.m_per_100g.high),
        "relative_u": figure(yarn.count.relative_u, 9),
        "weighed_apart": yarn.count.apart,
    }


def _class(yarn: YarnFigures) -> Document:
    return {
        "number": yarn.weight_class.number,
        "name": yarn.weight_class.name,
        "wool_equivalent_m_per_100g": figure(yarn.wool_m_per_100g),
        "thickest": yarn.thick.number,
        "thinnest": yarn.thin.number,
        "crosses": yarn.thick != yarn.thin,
    }


def _batch(found: Measurement) -> Document | None:
    if found.told.batch is None or found.yarn is None or found.yarn.batch_m is None:
        return None
    return {"mass_g": figure(found.told.batch.value), **_ends("length_m", found.yarn.batch_m)}


def _samples(pooled: Pooled) -> list[Document]:
    return [
        {
            "sample": one.text,
            "length_m": figure(one.length_m),
            "mass_g": figure(one.mass_g),
            "m_per_100g": figure(m_per_100g(one.tex)),
            "weight": figure(weight),
        }
        for one, weight in zip(pooled.samples, pooled.weights, strict=True)
    ]


def _scatter(pooled: Pooled) -> Document | None:
    scatter = pooled.scatter
    if scatter is None:
        return None
    return {
        "chi_square": figure(scatter.chi_square),
        "degrees": scatter.degrees,
        "chance": figure(scatter.chance),
        "agree": scatter.agree,
        "widened_times": figure(scatter.ratio),
        "odd_sample": None if scatter.agree or scatter.odd is None else scatter.odd + 1,
    }


def _budget(yarn: YarnFigures) -> list[Document]:
    return [
        {"source": one.name, "relative_u": figure(one.relative_u, 9), "share": figure(one.share)}
        for one in yarn.sources
    ]


def _sharpen(yarn: YarnFigures) -> list[Document]:
    return [
        {
            "do": one.what,
            "figure": figure(one.figure),
            "relative_u_before": figure(one.before_u, 9),
            "relative_u_after": figure(one.after_u, 9),
        }
        for one in yarn.better
    ]
