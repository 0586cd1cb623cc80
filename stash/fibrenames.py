"""Fibre names, families, densities and moisture: the tables.

Names: Regulation (EU) No 1007/2011, Annex I, in its order, with synonyms in common use; no brand names.
"""

from __future__ import annotations

from fractions import Fraction

UNKNOWN = "unknown"

_ANIMAL = (
    "wool; alpaca; llama; camel; cashmere; mohair; angora; vicuna; yak; guanaco; cashgora; beaver; otter; hair; silk"
)
_PLANT = "cotton; kapok; flax; hemp; jute; abaca; alfa; coir; broom; ramie; sisal; sunn; henequen; maguey; paper"
_REGENERATED = "acetate; alginate; cupro; modal; protein; triacetate; viscose; lyocell; bamboo"
_SYNTHETIC = (
    "acrylic; chlorofibre; fluorofibre; modacrylic; polyamide; aramid; polyimide; polylactide; polyester; "
    "polyethylene; polypropylene; polycarbamide; polyurethane; vinylal; trivinyl; elastodiene; elastane; "
    "elastomultiester; elastolefin; melamine; metallic; bicomponent; polyacrylate"
)
FAMILIES: tuple[str, ...] = ("animal", "plant", "regenerated", "synthetic")

# A metallic thread in knitwear is a coated plastic film, so it stands with the synthetics; glass and unknown have no
# family.
FAMILY_OF: dict[str, str] = {
    fibre: family
    for family, fibres in zip(FAMILIES, (_ANIMAL, _PLANT, _REGENERATED, _SYNTHETIC), strict=True)
    for fibre in fibres.split("; ")
}
FIBRES: frozenset[str] = frozenset(FAMILY_OF) | {"glass", UNKNOWN}
WOOL_AND_HAIR: frozenset[str] = frozenset(_ANIMAL.split("; ")) - {"silk"}
_BAST = ("flax", "hemp", "jute", "ramie", "sunn", "broom")

_SYNONYMS: dict[str, str] = {
    "wool": "virgin wool; new wool; fleece wool; pure wool; pure new wool; sheep's wool; sheep wool; sheeps wool; "
    "lambswool; lambs wool; lamb's wool; lamb wool; merino; merino wool; extra fine merino; shetland; "
    "shetland wool; icelandic wool; recycled wool; reclaimed wool; "
    "superwash; superwash wool; superwash merino; superwash merino wool; merino superwash; wool superwash",
    "alpaca": "baby alpaca; suri; suri alpaca",
    "camel": "camelhair",
    "cashmere": "kashmir; pashmina",
    "mohair": "kid mohair; mohair kid; super kid mohair",
    "angora": "angora rabbit; rabbit; rabbit angora",
    "vicuna": "vicuña",
    "hair": "animal hair; goat hair; goat; cattle hair; horsehair; horse hair; other hair",
    "silk": "mulberry silk; tussah; tussah silk; tussar silk; bourette; bourette silk; silk noil",
    "cotton": "organic cotton; pima cotton; egyptian cotton; mercerised cotton; mercerized cotton; combed cotton; "
    "recycled cotton; cotton organic",
    "flax": "linen; lin",
    "hemp": "true hemp",
    "abaca": "manila hemp; manila",
    "alfa": "esparto",
    "coir": "coconut",
    "ramie": "china grass",
    "viscose": "rayon; viscose rayon; rayon viscose; artificial silk",
    "bamboo": "bamboo viscose; viscose from bamboo; bamboo rayon; rayon from bamboo",
    "acetate": "cellulose acetate; rayon acetate",
    "cupro": "cuprammonium; cuprammonium rayon",
    "protein": "milk protein; soy protein; soya protein; casein",
    "acrylic": "polyacrylic; acryl; polyacryl; polyacrylonitrile",
    "polyamide": "nylon; recycled polyamide; recycled nylon",
    "polyester": "recycled polyester; polyester recycled; microfibre; microfiber",
    "polypropylene": "polypropene",
    "polyethylene": "polythene; polyethene",
    "polylactide": "polylactic acid",
    "elastane": "spandex; elasthane; elasthan",
    "elastodiene": "rubber; latex; natural rubber",
    "chlorofibre": "chlorofiber; polyvinyl chloride",
    "fluorofibre": "fluorofiber",
    "metallic": "metal; metallised; metallized; metallised fibre; metallic fibre; metallic fiber; "
    "metallic yarn; metal fibre; metallised polyester; metallized polyester",
    "glass": "glass fibre; glass fiber",
    "bicomponent": "polypropylene/polyamide bicomponent; bicomponent fibre",
    UNKNOWN: "other; other fibre; other fibres; other fiber; other fibers; unknown fibre; unknown fibres; "
    "unknown fiber",
}


def _table() -> dict[str, str]:
    words = {fibre: fibre for fibre in FIBRES}
    for fibre, synonyms in _SYNONYMS.items():
        words.update(dict.fromkeys(synonyms.split("; "), fibre))
    for fibre in WOOL_AND_HAIR - {"wool", "hair"}:  # Annex I, no. 2: with or without "wool" or "hair"
        words.update({f"{fibre} {end}": fibre for end in ("wool", "hair")})
    return words


WORDS: dict[str, str] = _table()

# g/cm3. Wool, cotton, silk, polyamide (nylon), polyester, acrylic, viscose: Morton & Hearle, Table 5.1. Bast and the
# regenerated fibres 1.50, elastane, polypropylene: common practice, no source. The last three lines: from memory.
DENSITY: dict[str, Fraction] = {
    **dict.fromkeys(WOOL_AND_HAIR, Fraction("1.31")),
    **dict.fromkeys(_BAST, Fraction("1.50")),
    **dict.fromkeys(_REGENERATED.split("; "), Fraction("1.50")),
    "viscose": Fraction("1.49"),
    "cotton": Fraction("1.52"),
    "silk": Fraction("1.34"),
    "polyamide": Fraction("1.14"),
    "polyester": Fraction("1.39"),
    "acrylic": Fraction("1.18"),
    "elastane": Fraction("1.20"),
    "polypropylene": Fraction("0.91"),
    "polyethylene": Fraction("0.95"),
    "glass": Fraction("2.56"),
    "modacrylic": Fraction("1.35"),
}
UNKNOWN_DENSITY = Fraction("1.31")

# Agreed moisture allowances in % of dry mass: Regulation (EU) No 1007/2011, Annex IX; wool and hair as carded or
# unknown, polyamide as staple. Those from kapok on: the same annex, from memory.
ALLOWANCE: dict[str, Fraction] = {
    **dict.fromkeys(WOOL_AND_HAIR, Fraction(17)),
    "silk": Fraction(11),
    "cotton": Fraction("8.5"),
    "ramie": Fraction("8.5"),
    "flax": Fraction(12),
    "hemp": Fraction(12),
    "jute": Fraction(17),
    **dict.fromkeys(("viscose", "modal", "lyocell", "bamboo", "cupro"), Fraction(13)),
    "acetate": Fraction(9),
    "acrylic": Fraction(2),
    "polyamide": Fraction("6.25"),
    "polyester": Fraction("1.5"),
    "elastane": Fraction("1.5"),
    "polypropylene": Fraction(2),
    "kapok": Fraction("10.9"),
    **dict.fromkeys(("abaca", "alfa", "broom", "sisal", "henequen", "maguey"), Fraction(14)),
    "coir": Fraction(13),
    "sunn": Fraction(12),
    "paper": Fraction("13.75"),
    "alginate": Fraction(20),
    "protein": Fraction(17),
    "triacetate": Fraction(7),
    **dict.fromkeys(("chlorofibre", "modacrylic", "polycarbamide", "metallic", "glass"), Fraction(2)),
    "fluorofibre": Fraction(0),
    "aramid": Fraction(8),
    **dict.fromkeys(("polyimide", "polyurethane"), Fraction("3.5")),
    **dict.fromkeys(("polylactide", "polyethylene", "elastomultiester", "elastolefin"), Fraction("1.5")),
    "vinylal": Fraction(5),
    "trivinyl": Fraction(3),
    "elastodiene": Fraction(1),
    "melamine": Fraction(7),
    "polyacrylate": Fraction(30),
}
UNKNOWN_ALLOWANCE = Fraction(17)
