"""Make the text font's files from its published web-font package.

    python assets/fonts/make_text_font.py PACKAGE.tgz [FOLDER]

The package is ``@fontsource/atkinson-hyperlegible-next`` 5.3.0: Atkinson Hyperlegible Next 2.001, in slices by
script. This joins the slices of western and central European letters, for titles in German, Polish or French, and
the project's own signs (made before by ``make_signs.py``) into one file per weight, and gives the semi-bold a place
in the same family. With the signs inside, nobody has to look for them in a second font: some renderers of SVG would
take the letters around a sign from another font too.

The licence (SIL Open Font License 1.1, without a reserved font name, so that a changed font may keep its name) is
copied beside the files as ``OFL.txt``; it covers the signs inside them too. The same package gives the same bytes.
"""

from __future__ import annotations

import sys
import tarfile
import tempfile
from pathlib import Path

from fontTools.merge import Merger
from fontTools.ttLib import TTFont

FAMILY = "Atkinson Hyperlegible Next"
FILE_STEM = "AtkinsonHyperlegibleNext"
WEIGHTS = {400: "Regular", 600: "SemiBold", 700: "Bold"}
SIGNS = {400: "PhrasebenchSigns.ttf", 600: "PhrasebenchSigns-SemiBold.ttf", 700: "PhrasebenchSigns-Bold.ttf"}
SLICES = ("latin", "latin-ext")
PACKAGE_STEM = "package/files/atkinson-hyperlegible-next"
ENGLISH, WINDOWS, UNICODE = 0x409, 3, 1
TYPOGRAPHIC_FAMILY, TYPOGRAPHIC_STYLE = 16, 17


def join_slices(slices: list[bytes], signs: Path, folder: Path) -> TTFont:
    """One font out of web-font slices and signs; where two hold the same letter the first one's stands."""
    paths = []
    for index, data in enumerate(slices):
        web_font = folder / f"{index}.woff"
        web_font.write_bytes(data)
        font = TTFont(web_font, recalcTimestamp=False)
        font.flavor = None
        if "STAT" in font:
            del font["STAT"]
        path = folder / f"{index}.ttf"
        font.save(path)
        paths.append(str(path))
    return Merger().merge([*paths, str(signs)])


def name_family(font: TTFont, style: str) -> None:
    """Give every weight the same typographic family, so that it is found by family and weight."""
    names = font["name"]
    for record in list(names.names):
        if record.nameID > TYPOGRAPHIC_STYLE:
            names.names.remove(record)
    names.setName(FAMILY, TYPOGRAPHIC_FAMILY, WINDOWS, UNICODE, ENGLISH)
    names.setName(style, TYPOGRAPHIC_STYLE, WINDOWS, UNICODE, ENGLISH)


def make(package: Path, folder: Path) -> None:
    """Write the font files and their licence into a folder."""
    with tarfile.open(package) as archive, tempfile.TemporaryDirectory() as scratch:

        def member(name: str) -> bytes:
            found = archive.extractfile(name)
            if found is None:
                raise FileNotFoundError(name)
            return found.read()

        for weight, style in WEIGHTS.items():
            slices = [member(f"{PACKAGE_STEM}-{part}-{weight}-normal.woff") for part in SLICES]
            created = TTFont(_scratch_copy(Path(scratch), slices[0]))["head"].modified
            font = join_slices(slices, folder / SIGNS[weight], Path(scratch))
            name_family(font, style)
            font["head"].created = font["head"].modified = created
            font.recalcTimestamp = False
            font.save(folder / f"{FILE_STEM}-{style}.ttf")
        (folder / "OFL.txt").write_bytes(member("package/LICENSE"))


def _scratch_copy(folder: Path, data: bytes) -> Path:
    path = folder / "first.woff"
    path.write_bytes(data)
    return path


if __name__ == "__main__":
    make(Path(sys.argv[1]), Path(sys.argv[2]) if len(sys.argv) > 2 else Path(__file__).parent)
