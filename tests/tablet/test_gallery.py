"""Every page of the gallery, in each size: texts whole and apart, targets large, contrast from the pixels."""

from __future__ import annotations

import pytest

from tests.tablet.driver import Driver
from tests.tablet.gallery import PAGES
from tests.tablet.measure import faults

LANDSCAPE, PORTRAIT, LARGE = ((1280, 800), 1.0), ((800, 1280), 1.0), ((1920, 1200), 1.5)
# The large tablet has the same layout in finer pixels: two pages are enough to hold that.
CASES = [(page, *look) for page in PAGES for look in ((*LANDSCAPE, False), (*PORTRAIT, True))]
CASES += [(page, *LARGE, True) for page in ("work", "gate")]


@pytest.mark.parametrize(("page", "size", "density", "dark"), CASES)
def test_every_page_can_be_read_and_touched(page: str, size: tuple[int, int], density: float, dark: bool) -> None:
    with Driver(size, density, dark) as drive:
        drive.show(PAGES[page]())
        assert faults(drive, gate=page == "gate") == []
