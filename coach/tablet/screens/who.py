"""Who is at the tablet: the first page. Also language, day or dark."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.core.policy import SUPERVISOR
from coach.language import LANGUAGES, _, current
from coach.tablet.screens.frame import button, page
from coach.tablet.shell import Shell
from coach.tablet.theme import theme
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.choices import Choice, ChoiceTiles
from coach.tablet.widgets.people import Person, PersonTiles
from coach.tablet.widgets.text import Paragraph

ROLE_WORDS = {"technician": "Technician", "supervisor": "Supervisor", "fire_watch": "Fire watch"}


def who_page(shell: Shell) -> Widget:
    """Choose a person."""
    policy = shell.desk.policy
    crew = [
        Person(person.id, person.name, ", ".join(_(ROLE_WORDS[role]) for role in sorted(person.roles, reverse=True)))
        for person in policy.people.values()
    ]
    tiles = PersonTiles(people=crew)
    tiles.bind(on_choose=lambda _tiles, key: _enter(shell, key))
    languages = ChoiceTiles(options=[Choice(code, name) for code, name in LANGUAGES.items()], chosen=[current()], least=44)
    languages.bind(on_choose=lambda _tiles, key: shell.speak(key))
    body: list[Widget] = [Paragraph(words=_("Who is at the tablet?"), size_name="title", bold=True)]
    body += [tiles] if crew else [_no_crew(shell)]
    body += [Paragraph(words=_("Language"), bold=True), languages]
    light = button(_("Dark screen") if not theme.dark else _("Day screen"), lambda: _turn(shell))
    return page(shell, _("Cover coach"), policy.yard or _("No yard is set up yet"), body, [light], back=False)


def _no_crew(shell: Shell) -> Widget:
    card = Card(title=_("There is no crew yet"))
    words = _("Write the yard's people and limits into the file policy.yaml in %(folder)s, then start again. Until then nobody may light a flame.")
    card.add_widget(Paragraph(words=words % {"folder": shell.desk.folder}))
    return card


def _turn(shell: Shell) -> None:
    theme.dark = not theme.dark
    shell.refresh()


def _enter(shell: Shell, person: str) -> None:
    from coach.tablet.screens.board import board_page

    shell.person = person
    shell.job = None
    shell.open(board_page)


def is_supervisor(shell: Shell) -> bool:
    """Whether the person at the tablet may review."""
    return shell.desk.policy.has_role(shell.person, SUPERVISOR)
