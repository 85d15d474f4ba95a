"""The run folder and the names of site folders."""

import errno
import os
import re
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgecheck.base.errors import FolderRefused
from edgecheck.outputs.folder import LineFile, RunFolder
from edgecheck.outputs.folder_lock import LOCK
from edgecheck.outputs.site_folders import site_folders


def files_of(folder):
    """Files below a folder, but for the lock of a run that is under way."""
    found = (str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file())
    return sorted(name for name in found if Path(name).name != LOCK)


def earlier(path):
    """A folder of ours that no run holds any more."""
    folder = RunFolder.open(path)
    folder.close()
    return folder


@pytest.mark.parametrize("prepare", [lambda path: None, lambda path: path.mkdir(parents=True)])
def test_absent_or_empty_folder_becomes_ours(tmp_path, prepare):
    target = tmp_path / "a" / "run"
    prepare(target)
    folder = RunFolder.open(target, log={"jobs": 2})
    assert files_of(target) == ["run-log.json"]
    folder.write_text("index.html", "<p>é</p>\n")
    folder.write_text("checks.csv", "id\n", site="R-001")
    assert (target / "index.html").read_bytes() == "<p>é</p>\n".encode()
    assert (target / "sites" / "R-001" / "checks.csv").read_bytes() == b"\xef\xbb\xbfid\n"


def test_someone_elses_folder_is_left_alone(tmp_path):
    (tmp_path / "thesis.txt").write_text("mine")
    for overwrite in (False, True):
        with pytest.raises(FolderRefused, match=r"no run-log\.json"):
            RunFolder.open(tmp_path, overwrite=overwrite)
    assert files_of(tmp_path) == ["thesis.txt"]


def test_a_run_log_of_another_program_does_not_make_it_ours(tmp_path):
    (tmp_path / "run-log.json").write_text('{"program": "other"}')
    with pytest.raises(FolderRefused):
        RunFolder.open(tmp_path, overwrite=True)
    assert (tmp_path / "run-log.json").read_text() == '{"program": "other"}'


def test_an_earlier_run_needs_a_choice(tmp_path):
    folder = earlier(tmp_path)
    folder.write_text("run.json", "{}")
    folder.write_text("results.jsonl", "{}")
    with pytest.raises(FolderRefused, match="--resume to continue it, --overwrite"):
        RunFolder.open(tmp_path)
    assert "run.json" in files_of(tmp_path)


def test_resume_keeps_what_is_there_but_for_the_mark_and_half_files(tmp_path):
    folder = earlier(tmp_path)
    for name in ("run.json", "results.jsonl", "verdicts.csv"):
        folder.write_text(name, "x")
    folder.write_text("worst-hour.html", "x", site="R-001")
    (tmp_path / ".results.jsonl.77.part").write_text("half")
    (tmp_path / "sites" / "R-001" / ".site.json.77.part").write_text("half")
    (tmp_path / "sites" / "R-001" / ".mine.77.part").write_text("mine")
    with closing(RunFolder.open(tmp_path, resume=True)):
        site = os.path.join("sites", "R-001")
        assert files_of(tmp_path) == [
            "results.jsonl", "run-log.json", os.path.join(site, ".mine.77.part"),
            os.path.join(site, "worst-hour.html"), "verdicts.csv",
        ]  # fmt: skip


def test_sites_that_are_not_of_this_run_go(tmp_path):
    folder = earlier(tmp_path)
    for site in ("R-001", "R-002"):
        folder.write_text("worst-hour.html", "x", site=site)
    folder.remove_sites({"R-002"})
    assert [path.name for path in (tmp_path / "sites").iterdir()] == ["R-002"]
    folder.remove_sites(())
    assert not (tmp_path / "sites").exists()


def test_one_run_at_a_time(tmp_path):
    with closing(RunFolder.open(tmp_path)):
        for choice in ({"resume": True}, {"overwrite": True}):
            with pytest.raises(FolderRefused, match="being written by another run") as caught:
                RunFolder.open(tmp_path, **choice)
            assert caught.value.exit_code == 2
    assert files_of(tmp_path) == ["run-log.json"]
    assert not (tmp_path / LOCK).exists()
    RunFolder.open(tmp_path, resume=True).close()


def test_a_lock_that_a_killed_run_left_behind_keeps_nobody_out(tmp_path):
    (tmp_path / LOCK).write_bytes(b"")
    RunFolder.open(tmp_path).close()
    assert not (tmp_path / LOCK).exists()


def test_overwrite_removes_only_files_of_the_layout(tmp_path):
    folder = earlier(tmp_path)
    for name in ("index.html", "verdicts.csv", "run.json", "results.jsonl"):
        folder.write_text(name, "x")
    folder.write_text("worst-hour.html", "x", site="R-001")
    folder.write_text("worst-hour.html", "x", site="R-002")
    (tmp_path / "sites" / "R-002" / "photo.jpg").write_bytes(b"x")
    (tmp_path / "notes.txt").write_text("mine")
    (tmp_path / ".index.html.77.part").write_text("half")
    RunFolder.open(tmp_path, overwrite=True)
    assert files_of(tmp_path) == ["notes.txt", "run-log.json", os.path.join("sites", "R-002", "photo.jpg")]
    assert not (tmp_path / "sites" / "R-001").exists()


def test_links_are_not_followed(tmp_path):
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "worst-hour.html").write_text("keep")
    folder = earlier(tmp_path / "run")
    (folder.path / "sites").mkdir()
    (folder.path / "sites" / "R-001").symlink_to(outside, target_is_directory=True)
    with pytest.raises(FolderRefused, match="link"):
        folder.write_text("worst-hour.html", "x", site="R-001")
    RunFolder.open(tmp_path / "run", overwrite=True)
    assert (outside / "worst-hour.html").read_text() == "keep"


@pytest.mark.parametrize("site", ["..", ".", "", "a/b", "a\\b", "/etc"])
def test_no_site_name_leads_out_of_the_folder(tmp_path, site):
    folder = RunFolder.open(tmp_path / "run")
    with pytest.raises(ValueError, match="no name of a site folder"):
        folder.write_text("checks.csv", "x", site=site)
    assert files_of(tmp_path) == [os.path.join("run", "run-log.json")]


def test_only_files_of_the_layout_can_be_written(tmp_path):
    folder = RunFolder.open(tmp_path)
    with pytest.raises(ValueError, match="no file of a run folder"):
        folder.write_text("../x.txt", "x")
    with pytest.raises(ValueError, match="no file of a site folder"):
        folder.write_text("index.html", "x", site="R-001")


@pytest.mark.parametrize(
    ("number", "words"), [(errno.ENOSPC, "the disk is full"), (errno.EROFS, "the file system is read-only")]
)
def test_a_failed_write_keeps_the_old_file_and_says_why(tmp_path, monkeypatch, number, words):
    folder = RunFolder.open(tmp_path)
    folder.write_text("index.html", "old")

    def refuse(self, data):
        with open(self, "wb") as half:
            half.write(data[:1])
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(Path, "write_bytes", refuse)
    with pytest.raises(FolderRefused, match=words) as caught:
        folder.write_text("index.html", "new")
    assert caught.value.exit_code == 2
    assert "\n" not in str(caught.value)
    monkeypatch.undo()
    assert (tmp_path / "index.html").read_text() == "old"
    assert files_of(tmp_path) == ["index.html", "run-log.json"]


def test_a_file_in_the_way_is_one_clear_message(tmp_path):
    (tmp_path / "taken").write_text("x")
    with pytest.raises(FolderRefused, match="is a file"):
        RunFolder.open(tmp_path / "taken")
    with pytest.raises(FolderRefused, match="a file, not a folder"):
        RunFolder.open(tmp_path / "taken" / "run")


def test_plain_ids_are_their_own_folders():
    assert site_folders(["R-001", "x.y_z"]) == {"R-001": "R-001", "x.y_z": "x.y_z"}


# Hash digits from GNU coreutils sha256sum of the ids' bytes.
def test_other_ids_get_a_made_up_name():
    folders = site_folders(["a/b", "R-1", "r-1"])
    assert folders["a/b"] == "a-b-c14cddc0"
    assert folders["R-1"].startswith("R-1-")
    assert folders["r-1"].startswith("r-1-")
    assert folders["R-1"].lower() != folders["r-1"].lower()


@pytest.mark.parametrize(
    "site_id", ["..", ".", "", "...", "CON", "con.txt", "LPT1", "nul", "a.", "-x", ".x", "a b", "x" * 61, "Ä"]
)
def test_unsafe_ids_are_never_used_as_they_are(site_id):
    name = site_folders([site_id])[site_id]
    assert name != site_id
    assert re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]{0,59}", name)
    assert name.partition(".")[0].upper() not in {"CON", "LPT1", "NUL"}


def test_an_id_that_is_the_made_up_name_of_another_gets_out_of_its_way():
    made_up = site_folders(["a/b"])["a/b"]
    folders = site_folders(["a/b", made_up])
    assert len({name.lower() for name in folders.values()}) == 2


@given(
    st.lists(st.text(max_size=70) | st.sampled_from(["CON", "con", "A.1", "a.1", "..", "AUX.b"]), max_size=12)
)
def test_names_are_safe_and_differ_without_case(site_ids):
    folders = site_folders(site_ids)
    assert set(folders) == set(site_ids)
    assert len({name.casefold() for name in folders.values()}) == len(folders)
    for name in folders.values():
        assert re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]{0,59}", name)
        assert not name.endswith(".")
        assert name.partition(".")[0].upper() not in {"CON", "PRN", "AUX", "NUL"}


def filled_by(folder, texts, broken=""):
    """What fills files with lines, and breaks off after those of one."""

    def fill(parts):
        for name, lines in texts.items():
            with LineFile(folder.path / name, parts[name]) as out:
                for line in lines:
                    out.write(line)
            if name == broken:
                raise RuntimeError("no more")

    return fill


def test_lines_are_written_as_the_whole_text_would_be(tmp_path):
    folder = RunFolder.open(tmp_path)
    for name in ("verdicts.csv", "results.jsonl"):
        folder.write_text(name, "é\nb\n")
        whole = (tmp_path / name).read_bytes()
        folder.write_together([name], filled_by(folder, {name: ["é\n", "b\n"]}))
        assert (tmp_path / name).read_bytes() == whole


def test_files_that_are_made_together_are_put_in_place_together_or_not_at_all(tmp_path):
    folder = RunFolder.open(tmp_path)
    names = ("verdicts.csv", "survey.csv", "sites.geojson")
    folder.write_together(names, filled_by(folder, {name: ["old\n"] for name in names}))
    before = {name: (tmp_path / name).read_bytes() for name in names}
    assert files_of(tmp_path) == sorted(["run-log.json", *names])
    for broken in names:
        with pytest.raises(RuntimeError):
            folder.write_together(names, filled_by(folder, {name: ["new\n"] for name in names}, broken))
        assert files_of(tmp_path) == sorted(["run-log.json", *names])
        assert {name: (tmp_path / name).read_bytes() for name in names} == before


def test_a_line_that_cannot_be_written_names_its_own_file(tmp_path):
    with pytest.raises(FolderRefused, match=r"survey\.csv: cannot be written"):
        LineFile(tmp_path / "survey.csv", tmp_path / "absent" / "part")
    full = Path("/dev/full")
    if full.exists():
        out = LineFile(tmp_path / "survey.csv", full)
        with pytest.raises(FolderRefused, match=r"survey\.csv: cannot be written: the disk is full"), out:
            out.write("x" * (1 << 21))
