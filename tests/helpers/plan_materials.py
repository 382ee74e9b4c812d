"""What tests write session plans with: the project's fonts, and a typesetter that only remembers."""

from __future__ import annotations

from dataclasses import dataclass, field

from core.handover.assets import PLAN_FONTS, FontFile, PlanAssets
from core.handover.typesetting import TypesetDocument
from tests.helpers.font_metrics import FONTS, font_metrics


@dataclass
class RememberingTypesetter:
    """Keeps the documents it is given and makes nothing of them."""

    documents: list[TypesetDocument] = field(default_factory=list)

    def __call__(self, document: TypesetDocument) -> bytes:
        """The document's markup in place of a PDF."""
        self.documents.append(document)
        return document.source.encode()


def plan_assets(typesetter: RememberingTypesetter | None = None, fonts: bool = False) -> PlanAssets:
    """Assets without the fonts' bytes, unless they are asked for."""
    files = tuple(
        FontFile(family, weight, (FONTS / name).read_bytes()) for name, (family, weight) in PLAN_FONTS.items()
    )
    return PlanAssets(font_metrics(), typesetter or RememberingTypesetter(), files if fonts else ())
