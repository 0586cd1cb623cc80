"""What a column of a sheet can be: each field with the words a knitter heads it with."""

from __future__ import annotations

from dataclasses import dataclass

LEAVE_OUT = "leave-out"
PLANS_OWN = "reckoned"  # such headers stand above what lotwise reckoned: read by people, not read back


@dataclass(frozen=True)
class SheetField:
    """`kind`: how its cells are read (see values.py); `heads`: header words beside its own name; `of`: whose it is."""

    name: str
    kind: str
    about: str
    heads: str = ""  # parted by |
    of: str = "lot"

    @property
    def key(self) -> str:
        """Its key in a stash file."""
        return self.name.removeprefix("donor ")


FIELDS: tuple[SheetField, ...] = (
    SheetField("skein", "id", "the skein's name", "skein id|skein name|tag|label|skein no|skein number", "skein"),
    SheetField("lot", "id", "the lot's name", "lot id|lot name|yarn|yarn id|batch|dye lot|dyelot"),
    SheetField("donor", "id", "the garment's name", "donor id|from garment|source|garment|origin"),
    SheetField("fibre", "blend", "what it is made of", "fiber|fibres|fibers|fibre content|fiber content|content|blend|"
               "composition|material|materials"),
    SheetField("colour", "colour", "its colour", "color|hex|colour code|color code|shade"),
    SheetField("count", "count", "how thick it is", "yarn weight|weight class|class|thickness|grist|yarn count"),
    SheetField("wraps", "number", "wraps in an inch", "wpi|wraps per inch"),
    SheetField("turns", "number", "turns of a sample on a swift"),
    SheetField("around", "length", "once round the swift", "swift|circumference|niddy-noddy|niddy noddy"),
    SheetField("sample length", "length", "the length of a sample laid out"),
    SheetField("sample mass", "mass", "what a sample weighs", "sample weight"),
    SheetField("felts", "word", "whether it felts: yes, no or unknown", "felting"),
    SheetField("bleeds", "word", "whether its dye runs: yes, no or untested", "bleeding|colourfast test|dye runs"),
    SheetField("scale", "mass", "the smallest step of the scale", "scale step|scale steps"),
    SheetField("mass", "mass", "what the skein weighs", "skein mass|skein weight|net weight", "skein"),
    SheetField("length", "length", "how long the skein is", "skein length|metrage|meterage|yardage", "skein"),
    SheetField("pieces", "pieces", "how many pieces, or their lengths", "no of pieces|number of pieces", "skein"),
    SheetField("counted", "flow", "what it weighed since, and when", "", "skein"),
    SheetField("note", "text", "anything to remember of the lot", "notes|remark|remarks|comment|comments|memo"),
    SheetField("donor garment", "text", "what the garment is", "", "donor"),
    SheetField("donor fibre", "blend", "what the garment is made of", "donor fiber", "donor"),
    SheetField("donor mass", "mass", "what the whole garment weighs", "donor weight|garment weight", "donor"),
    SheetField("donor seams", "word", "linked or cut", "seams", "donor"),
    SheetField("donor scale", "mass", "the steps of the scale it was weighed on", "", "donor"),
    SheetField("donor kind", "word", "what kind of garment", "", "donor"),
    SheetField("donor size", "size", "the garment's size", "garment size", "donor"),
    SheetField("donor gauge", "flow", "stitches and rows counted on it", "", "donor"),
    SheetField("donor stitch", "word", "the stitch most of it is in", "", "donor"),
    SheetField("donor panels", "panels", "its flat pieces", "", "donor"),
    SheetField("donor felted", "word", "no, slightly or felted", "", "donor"),
    SheetField("donor pilled", "word", "yes or no", "", "donor"),
    SheetField("donor holes", "number", "how many holes", "", "donor"),
    SheetField("donor stains", "number", "how many stains", "", "donor"),
    SheetField("donor smell", "word", "yes or no", "", "donor"),
    SheetField("donor moths", "word", "yes or no", "", "donor"),
    SheetField("donor colours", "number", "how many colours it has", "", "donor"),
    SheetField("donor main-share", "share", "the main colour's part", "", "donor"),
    SheetField("donor fancy", "word", "yes or no", "", "donor"),
    SheetField("donor plies", "number", "strands side by side in it", "", "donor"),
    SheetField("donor colour", "colour", "its main colour", "donor color", "donor"),
    SheetField("donor price", "number", "what it costs", "", "donor"),
    SheetField("donor note", "text", "anything to remember of the garment", "donor notes", "donor"),
)  # fmt: skip
BY_NAME = {one.name: one for one in FIELDS}
BY_HEAD = {head: one.name for one in FIELDS for head in (one.name, *one.heads.split("|")) if head}
NAMES = ("name", "id")  # of a lot, or of a skein where the lot has a column of its own
WEIGHT = "weight"  # grams in one sheet, "dk" in another: its unit or its cells tell
SAMPLE = {"turns", "around", "sample length", "sample mass", "wraps"}
