"""Pages that show every widget with texts of usual length, for the eye and for the measuring tests.

`python -m tests.tablet.gallery FOLDER` writes each page in each size and theme as PNG.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import tests.tablet.driver  # noqa: F401  isort: skip  first: it sets the toolkit up

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.widgets.body import Foot, Pair, Pane, ScrollBody, Tiles
from coach.tablet.widgets.buttons import BigButton
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.choices import Choice, ChoiceTiles
from coach.tablet.widgets.field import Field
from coach.tablet.widgets.keypad import Keypad
from coach.tablet.widgets.number import NumberTile
from coach.tablet.widgets.people import Person, PersonTiles
from coach.tablet.widgets.photo import PhotoTile
from coach.tablet.widgets.picture import PictureView
from coach.tablet.widgets.progress import ProgressByStage, StageMark
from coach.tablet.widgets.reasons import ReasonLine, ReasonList
from coach.tablet.widgets.rows import Counter, ListRow
from coach.tablet.widgets.safeguards import Guard, SafeguardBar
from coach.tablet.widgets.signature import SignaturePad
from coach.tablet.widgets.strip import Above
from coach.tablet.widgets.text import Paragraph
from coach.tablet.widgets.timer import TimerFace
from coach.tablet.widgets.topbar import TopBar
from coach.view.pictures.cross_section import cross_section
from coach.view.pictures.plan import plan
from tests.tablet.driver import Driver

GUARDS = [
    Guard("vent", "Fuel vent taped", "proven"),
    Guard("wind", "Wind", "lapsed"),
    Guard("extinguisher", "Extinguisher", "proven"),
    Guard("watch", "Fire watch", "missing"),
    Guard("smell", "No gas smell", "withdrawn"),
    Guard("clear", "35 ft clear", "proven"),
    Guard("gear", "Gloves and eyes", "proven"),
    Guard("cylinder", "Cylinder", "missing"),
    Guard("winter", "Winterized", "proven"),
]
CREW = [
    Person("ana", "Ana Ruiz", "Technician"),
    Person("joel", "Joel Baptiste", "Technician, fire watch"),
    Person("marta", "Marta Oduya", "Supervisor"),
    Person("lars", "Lars Petit", "Technician", "Fire watch training is older than a season"),
]
STAGES = [
    StageMark("Arrival", 6, 6),
    StageMark("Frame", 4, 9),
    StageMark("Film", 0, 8),
    StageMark("Shrink", 0, 7),
    StageMark("Finish", 0, 6),
]


def screen(
    title: str,
    under: str,
    *body: Widget,
    foot: list[Widget] | None = None,
    reason: str = "",
    bar: bool = True,
    beside: Widget | None = None,
    gated: bool = False,
) -> BoxLayout:
    """A whole screen: top bar, safeguards, a scrolling body (beside a picture), a foot."""
    page = BoxLayout(orientation="vertical")
    page.add_widget(TopBar(title=title, under=under, picks=[("steps", "list", "Steps")], gate=gated))
    if bar:
        above = Above()
        above.add_widget(
            SafeguardBar(guards=GUARDS, reason=reason, left=4, total=9, compact=beside is not None, disabled=gated)
        )
        page.add_widget(above)
    scroll = ScrollBody()
    for widget in body:
        scroll.add_widget(widget)
    if beside is None:
        page.add_widget(scroll)
    else:
        pair = Pair(share=0.44, upright=0.42)
        pane = Pane()
        pane.add_widget(beside)
        pair.add_widget(pane)
        pair.add_widget(scroll)
        page.add_widget(pair)
    if foot:
        row = Foot()
        for button in foot:
            row.add_widget(button)
        page.add_widget(row)
    return page


def work() -> BoxLayout:
    """One step of a walk: picture beside words in landscape."""
    card = Card(title="What to do")
    card.add_widget(
        Paragraph(words="Buckle a strap over each upright, side to side. Leave a loop at both sides.", size_name="lead")
    )
    card.add_widget(Paragraph(words="Right when: the strap lies flat and does not touch the windshield.", tone="soft"))
    number = NumberTile(label="Cross straps", value="2 × 13 ft", why="2 uprights, 2 × 5' 6\" and a tail of 1 ft each")
    return screen(
        "Dunlin · cross straps",
        "Frame, step 5 of 9",
        card,
        number,
        beside=PictureView(drawing=plan(5.8, 2.4, uprights=(2.1, 4.2), mark="uprights")),
        foot=[
            BigButton(words="Something is wrong", kind="secondary", size_hint_x=0.7),
            BigButton(words="Done, next step", kind="primary", icon="tick"),
        ],
    )


def gate() -> BoxLayout:
    """The gate before heat, blocked."""
    reasons = [
        ReasonLine(
            "watch",
            "Fire watch is not at the post",
            "Somebody must see a fire start while you look at the film.",
            "Name the fire watch",
        ),
        ReasonLine(
            "wind",
            "The wind reading is 22 min old",
            "Gusts blow the flame under the film. Read it again every 15 min.",
            "Read the wind",
        ),
        ReasonLine(
            "smell",
            "Gas smell was reported",
            "Propane sinks and lies in the bilge. Leave, close the cylinder, air out.",
        ),
    ]
    return screen(
        "Dunlin · before the flame",
        "Shrink, step 1 of 7",
        ReasonList(reasons=reasons, gate=True),
        CautionPanel(
            signal="DANGER",
            words="Reopen the fuel vent as soon as the film is shrunk.",
            why="A closed vent builds pressure in the tank. Fuel can reach the flame.",
        ),
        reason="Fire watch is not at the post",
        gated=True,
        foot=[BigButton(words="Light the torch", kind="danger", icon="flame", hold=2, disabled=True)],
    )


def cautions() -> BoxLayout:
    """Every signal word, and every kind of button."""
    panels = [
        CautionPanel(
            signal="WARNING",
            words="Keep the flame moving. Never point it at a person or at the boat's glass.",
            why="Film burns through in a second where the flame stands still.",
        ),
        CautionPanel(signal="CAUTION", words="Mind the cut strap ends.", why="They are sharp when they are frozen."),
        CautionPanel(
            signal="NOTICE", words="Wipe the hull before the band goes on.", why="Grit under the band scratches."
        ),
        CautionPanel(signal="SAFETY", words="The cylinder is closed and off the boat."),
    ]
    buttons = [
        BigButton(words="Hold to put the flame out", kind="danger", icon="flame-off", hold=1.5, note="Hold 2 seconds"),
        BigButton(words="Secondary"),
        BigButton(words="Quiet", kind="quiet"),
        BigButton(words="Not possible now", kind="primary", disabled=True),
    ]
    return screen("Cautions and buttons", "Pell Harbour Boatyard", *panels, *buttons)


def measure() -> BoxLayout:
    """Entry of a measure with the keypad."""
    pad = Keypad(label="Ridge to film edge, over the widest beam", text="5' 6 1/2\"", echo="= 1.69 m", systems=True)
    page = screen(
        "Dunlin · measures",
        "3 of 7 measured",
        pad,
        bar=False,
        beside=PictureView(drawing=cross_section(1.22, 1.05, 0.18, only="ridge_to_edge")),
    )
    page.children[0].share = 0.36
    page.children[0].upright = 0.52
    return page


def board() -> BoxLayout:
    """Rows, badges, counter, field."""
    rows = [
        ListRow(
            words="Dunlin",
            note="19 ft power boat, trailer",
            icon="boat",
            badge="Shrink",
            badge_icon="flame",
            badge_role="caution",
        ),
        ListRow(
            words="Grey Plover",
            note="24 ft sailing boat, mast down",
            icon="boat",
            badge="Stopped safely",
            badge_icon="pause",
            badge_role="notice",
        ),
        ListRow(
            words="Sanderling",
            note="Pontoon boat, 22 ft",
            icon="boat",
            badge="Signed",
            badge_icon="tick",
            badge_role="safe",
        ),
    ]
    return screen(
        "Boats today",
        "Pell Harbour Boatyard",
        *rows,
        Counter(label="Vents on the cover", value=4),
        Field(label="Name of the boat", hint="As on her stern"),
        bar=False,
        foot=[BigButton(words="New boat", kind="primary", icon="plus")],
    )


def numbers() -> BoxLayout:
    """Computed numbers, choices, progress."""
    tiles = Tiles(least=58, most=3)
    tiles.add_widget(
        NumberTile(
            label="Film width", value="12 ft", why="2 × 66 in + 12 in = 144 in, up to the next foot", changed=True
        )
    )
    tiles.add_widget(
        NumberTile(label="Film length", value="27 ft", why="24' 8\" along the ridge and 6 in past each end")
    )
    tiles.add_widget(NumberTile(label="Propane", waits=["ridge to film edge", "length"]))
    choice = ChoiceTiles(
        options=[
            Choice("power", "Power boat", "on a trailer"),
            Choice("sail", "Sailing boat", "mast down"),
            Choice("pontoon", "Pontoon boat", "on stands or a trailer"),
        ],
        chosen=["power"],
    )
    many = ChoiceTiles(
        many=True, chosen=["gloves"], options=[Choice("gloves", "Gloves"), Choice("eyes", "Eye protection")]
    )
    return screen(
        "Dunlin · numbers",
        "Sizing",
        ProgressByStage(stages=STAGES, current=1),
        tiles,
        Paragraph(words="What kind of boat is it?", bold=True),
        choice,
        many,
        bar=False,
    )


def people() -> BoxLayout:
    """Crew, timer, photo."""
    photos = Tiles(least=58, most=3)
    photos.add_widget(PhotoTile(words="Fuel vent, taped"))
    photos.add_widget(PhotoTile(words="Bow, before the film"))
    return screen(
        "Dunlin · fire watch",
        "After the flame",
        TimerFace(
            left=2_345,
            total=3_600,
            label="Fire watch",
            note="Walk round the boat every 15 minutes. Feel the film with the back of your hand.",
        ),
        PersonTiles(people=CREW, chosen="joel"),
        photos,
    )


def sign() -> BoxLayout:
    """Signature."""
    pad = SignaturePad(who="Ana Ruiz, technician", meaning="I did every step of this list myself, or saw it done.")
    pad.ids.field.strokes = [
        [
            (900, 3400),
            (1500, 7400),
            (2100, 3000),
            (1300, 4700),
            (2500, 4600),
            (3000, 5200),
            (3300, 3300),
            (3900, 5000),
            (4300, 3300),
            (5000, 4200),
            (7000, 3600),
        ]
    ]
    pad._take()
    return screen(
        "Dunlin · sign",
        "Every step is done",
        pad,
        bar=False,
        foot=[BigButton(words="Sign and seal", kind="primary", icon="pen", hold=1)],
    )


PAGES: dict[str, Callable[[], BoxLayout]] = {
    page.__name__: page for page in (work, gate, cautions, measure, numbers, people, sign, board)
}


def write_all(folder: Path, names: list[str]) -> None:
    """Write the pages as PNG: landscape by day, portrait in the dark, and the large tablet."""
    for name in names or PAGES:
        for size, density, dark in (((1280, 800), 1.0, False), ((800, 1280), 1.0, True), ((1920, 1200), 1.5, True)):
            with Driver(size, density, dark) as drive:
                drive.show(PAGES[name]())
                drive.screenshot(folder / f"{name}-{size[0]}x{size[1]}.png")


if __name__ == "__main__":
    write_all(Path(sys.argv[1]), sys.argv[2:])
