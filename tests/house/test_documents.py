"""What an operator sets and runs is documented, and what is installed is pinned."""

import re
import tomllib

import click
from pydantic import SecretStr

from service.cli import main
from service.settings import Settings
from tests.house.source import ROOT

README = (ROOT / "README.md").read_text("utf-8")
SETTINGS = {f"ROWCALL_{name.upper()}" for name in Settings.model_fields}


def commands(group, path="rowcall"):
    """Every command, each as it is typed."""
    for name, command in group.commands.items():
        if isinstance(command, click.Group):
            yield from commands(command, f"{path} {name}")
        else:
            yield f"{path} {name}"


def test_every_setting_has_its_row_in_the_readme_with_its_default_and_what_it_means():
    rows = re.findall(r"^\| (`ROWCALL_\w+` .*) \|$", README, re.MULTILINE)
    written = [tuple(cell.strip() for cell in row.replace("`", "").split("|")) for row in rows]
    fields = Settings.model_fields.items()
    assert written == [(f"ROWCALL_{name.upper()}", plain(field.default), field.description) for name, field in fields]


def plain(default):
    """A default as it is typed in the environment."""
    if isinstance(default, SecretStr):
        return default.get_secret_value()
    return str(default).lower() if isinstance(default, bool) else str(default)


def test_the_example_of_an_env_file_has_every_setting_and_no_other():
    example = (ROOT / ".env.example").read_text("utf-8")
    assert set(re.findall(r"^#(ROWCALL_\w+)=", example, re.MULTILINE)) == SETTINGS


def test_an_env_file_made_of_the_example_changes_nothing():
    lines = re.findall(r"^#(ROWCALL_(\w+)=.*)$", (ROOT / ".env.example").read_text("utf-8"), re.MULTILINE)
    values = {name.lower(): line.split("=", 1)[1] for line, name in lines}
    assert Settings(_env_file=None, **values) == Settings.model_validate({})


def test_every_command_is_in_the_readme():
    assert {command for command in commands(main) if command not in README} == set()


def test_the_readme_names_no_command_that_is_not_there():
    named = set(
        re.findall(r"\browcall ([a-z-]+)", " ".join(re.findall(r"`[^`]+`|^    .*$|^rowcall .*$", README, re.MULTILINE)))
    )
    assert named - set(main.commands) == set()


def test_everything_the_project_depends_on_is_pinned_to_a_version_and_to_no_address():
    pins = (ROOT / "deploy" / "constraints.txt").read_text("utf-8")
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    wanted = [*project["dependencies"], *(one for extra in project["optional-dependencies"].values() for one in extra)]
    pinned = {line.split("==")[0].lower().replace("_", "-") for line in pins.splitlines() if "==" in line}
    assert {name for name in map(plain_name, wanted) if name not in pinned} == set()
    assert re.findall(r"://|@ |^-", pins, re.MULTILINE) == []


def plain_name(requirement):
    return re.match(r"[\w.-]+", requirement)[0].lower().replace("_", "-")


def test_the_tour_in_the_readme_is_a_dialogue_that_is_tested():
    tour = (ROOT / "fixtures" / "dialogues" / "tour.txt").read_text("utf-8").splitlines()
    assert "\n".join(f"    {line}" for line in tour if not line.startswith("@")) in README
