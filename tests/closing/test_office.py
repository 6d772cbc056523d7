"""The opened office reads the firm's own files again when they change, and not at every question."""

from importlib.resources import files

from quietus.closing.office import Office


def test_packs_are_read_again_when_a_file_of_the_firms_is_another(office: Office) -> None:
    built_in = (files("quietus.rules") / "packs" / "OR.toml").read_text(encoding="utf-8")
    first = office.packs()
    assert office.packs() is first
    own = office.config.rules / "OR.toml"
    for name in ("Oregon, as the firm has it", "Oregon, as the firm has it now"):
        own.write_text(built_in.replace('name = "Oregon"', f'name = "{name}"', 1), encoding="utf-8")
        assert office.packs().by_code["OR"].name == name
    own.unlink()
    assert office.packs().by_code["OR"].name == "Oregon"
