"""Who is at the tablet: the first page. Also language, day or dark, and the way to a flame that may still burn."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.core.policy import SUPERVISOR
from coach.language import LANGUAGES, _, current, review_note
from coach.tablet.routes import route, to
from coach.tablet.screens.frame import page
from coach.tablet.shell import Shell
from coach.tablet.theme import theme
from coach.tablet.widgets.choices import Choice, ChoiceTiles
from coach.tablet.widgets.people import Person, PersonTiles
from coach.tablet.widgets.text import Paragraph

MAY_BURN = ("flame", "tripped")  # states of the board
ROLE_WORDS = {"technician": "Technician", "supervisor": "Supervisor", "fire_watch": "Fire watch"}


@route
def who_page(shell: Shell) -> Widget:
    """Choose a person, who then shows their PIN where PINs are asked."""
    policy = shell.desk.policy
    shell.presence.leave()
    shell.job = None
    crew = [
        Person(person.id, person.name, ", ".join(_(ROLE_WORDS[role]) for role in sorted(person.roles, reverse=True)))
        for person in policy.people.values()
    ]
    tiles = PersonTiles(people=crew)
    tiles.bind(on_choose=lambda _tiles, key: _enter(shell, key))
    languages = ChoiceTiles(options=[Choice(code, name) for code, name in LANGUAGES.items()], chosen=[current()], least=44)
    languages.bind(on_choose=lambda _tiles, key: shell.speak(key))
    body: list[Widget] = [*_flames(shell), Paragraph(words=_("Who is at the tablet?"), size_name="title", bold=True)]
    body += [tiles] if crew else [_no_crew(shell)]
    body += [Paragraph(words=_("Language"), bold=True), languages, Paragraph(words=review_note(), size_name="note", tone="soft")]
    light = ("light", "sun", _("Day screen")) if theme.dark else ("light", "moon", _("Dark screen"))
    return page(shell, _("Cover coach"), policy.yard or _("No yard is set up yet"), body, back=False, picks=[light], pick=lambda _key: _turn(shell))


def _no_crew(shell: Shell) -> Widget:
    from coach.tablet.widgets.card import Card

    card = Card(title=_("There is no crew yet"))
    words = _("Write the yard's people and limits into the file policy.yaml in %(folder)s, then start again. Until then nobody may light a flame.")
    card.add_widget(Paragraph(words=words % {"folder": shell.desk.folder}))
    return card


def _turn(shell: Shell) -> None:
    theme.dark = not theme.dark
    shell.refresh()


def _flames(shell: Shell) -> list[Widget]:
    """Boats at which a flame may burn, as far as this tablet knows: reachable without any PIN."""
    if not shell.presence.asks:
        return []
    found: list[Widget] = []
    for row in shell.desk.board(MAY_BURN):
        if row.own:
            from coach.tablet.widgets.rows import ListRow

            made = ListRow(key=row.job, words=_("A flame may burn at %(boat)s") % {"boat": row.boat}, icon="flame",
                           note=_("Put it out first; no PIN is asked for that"))
            made.bind(on_act=lambda touched, *_: _stand_in(shell, touched.key))
            found.append(made)
    return found


def _stand_in(shell: Shell, id: str) -> None:
    open_job = to("open_job")
    open_job(shell, id)
    if shell.job is not None:
        shell.presence.stand_in(shell.job.state.technician)
        shell.tick()
        shell.refresh()


def _enter(shell: Shell, person: str) -> None:
    board_page = to("board_page")
    show_who = to("show_who")

    def enter() -> None:
        shell.presence.enter(person, shell.desk.now())
        shell.job = None
        shell.open(board_page)

    show_who(shell, person, enter)


def is_supervisor(shell: Shell) -> bool:
    """Whether the person at the tablet may review."""
    return shell.desk.policy.has_role(shell.person, SUPERVISOR)
