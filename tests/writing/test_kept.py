"""What a file is besides its bytes stays, and nothing is written where nobody looked."""

import os
from pathlib import Path

import pytest

from pincheck.writing.change import FileChange, WriteRefusedError
from pincheck.writing.journal import NAME
from pincheck.writing.mend import mend
from pincheck.writing.write import write

as_root = pytest.mark.skipif(os.geteuid() != 0, reason="only root can give files away")


def changed(path: Path, after: bytes = b"after\n") -> FileChange:
    return FileChange(path, path.name, path.read_bytes(), after)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A file alone in its folder."""
    path = tmp_path / "machine" / "a.cfg"
    path.parent.mkdir()
    path.write_bytes(b"before\n")
    return path


def test_mode_and_attributes(file: Path) -> None:
    """A mode that no new file has; an attribute of the user's own."""
    file.chmod(0o2604)
    try:
        os.setxattr(file, "user.origin", b"shop")
    except OSError:
        pytest.skip("this file system has no attributes")
    write([changed(file)])
    assert file.read_bytes() == b"after\n"
    assert file.stat().st_mode & 0o7777 == 0o2604
    assert os.getxattr(file, "user.origin") == b"shop"
    assert [path.name for path in file.parent.iterdir()] == ["a.cfg"]


@as_root
def test_owner_and_group(file: Path) -> None:
    """Root edits for the firmware's own user, who must be able to read it afterwards."""
    os.chown(file, 1234, 2345)
    file.chmod(0o640)
    write([changed(file)])
    about = file.stat()
    assert (about.st_uid, about.st_gid, about.st_mode & 0o7777) == (1234, 2345, 0o640)
    assert file.read_bytes() == b"after\n"


@as_root
def test_an_owner_that_cannot_be_given_stays_too(file: Path) -> None:
    """Another user who may write the file writes it over: it stays the same file."""
    file.parent.chmod(0o777)
    file.chmod(0o666)
    for folder in file.parents:
        if not folder.stat().st_mode & 0o001:
            folder.chmod(folder.stat().st_mode | 0o011)
    inode = file.stat().st_ino
    child = os.fork()
    if child == 0:
        os.setuid(4321)
        try:
            write([changed(file)])
        finally:
            os._exit(0)
    os.waitpid(child, 0)
    assert file.read_bytes() == b"after\n"
    assert (file.stat().st_ino, file.stat().st_uid) == (inode, 0)
    assert [path.name for path in file.parent.iterdir()] == ["a.cfg"]


def test_other_names_of_a_file(file: Path) -> None:
    """Both names show the new content."""
    os.link(file, file.with_name("b.cfg"))
    write([changed(file, b"after, and longer\n")])
    assert file.with_name("b.cfg").read_bytes() == b"after, and longer\n"


def test_a_link_put_where_a_new_file_goes_is_not_followed(file: Path) -> None:
    """A name that was free when it was looked at and leads elsewhere when it is written."""
    new = file.with_name("new.cfg")
    new.symlink_to(file)
    with pytest.raises(WriteRefusedError, match=r"new.cfg is there already"):
        write([FileChange(new, "new.cfg", None, b"x")])
    assert file.read_bytes() == b"before\n"


def test_a_link_put_in_the_place_of_a_file_is_not_followed(file: Path) -> None:
    """The file that it leads to holds just what was read."""
    other = file.with_name("other.cfg")
    change = changed(file)
    file.rename(other)
    file.symlink_to(other)
    with pytest.raises(WriteRefusedError, match=r"a.cfg: .*; nothing was changed"):
        write([change])
    assert other.read_bytes() == b"before\n"


def test_a_folder_made_for_a_change_goes_with_it(tmp_path: Path) -> None:
    """Nothing is left of a change of which one part cannot be made."""
    blocked = tmp_path / "file"
    blocked.write_bytes(b"")
    new = [tmp_path / "a" / "b" / "new.cfg", blocked / "new.cfg"]
    with pytest.raises(WriteRefusedError, match=r"new.cfg: Not a directory; nothing was changed"):
        write([FileChange(path, path.name, None, b"x") for path in new])
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


def test_a_live_command_is_not_mended(file: Path) -> None:
    """Its journal is locked; a second writer is refused, whatever it wants to write."""
    from pincheck.writing.journal import begin

    journal = begin(file.parent, [changed(file)])
    with pytest.raises(WriteRefusedError, match="another command is writing"):
        mend([file.parent])
    with pytest.raises(WriteRefusedError, match="another command is writing there, or"):
        write([changed(file)])
    journal.end()
    journal.close()
    assert mend([file]) == ()


def test_what_a_user_changed_after_a_kill_stays(file: Path) -> None:
    """It is neither what was there nor what was put there, so it is the user's newest."""
    from pincheck.writing.journal import begin

    other = file.with_name("b.cfg")
    other.write_bytes(b"before\n")
    begin(file.parent, [changed(file), changed(other)]).close()
    file.write_bytes(b"after\n")
    other.write_bytes(b"by hand\n")
    (said,) = mend([file.parent])
    assert said == (
        f"a change in {file.parent} was cut off and is undone: a.cfg; "
        "changed since and left as they are: b.cfg"
    )
    assert (file.read_bytes(), other.read_bytes()) == (b"before\n", b"by hand\n")


@pytest.mark.parametrize("where", ["below", ".", "above"])
def test_a_journal_is_found_from_below_and_above(file: Path, where: str) -> None:
    """A command may look at a folder in it, or at one that holds it."""
    from pincheck.writing.journal import begin

    below = file.parent / "below"
    below.mkdir()
    begin(file.parent, [changed(file)]).close()
    file.write_bytes(b"after\n")
    looked_at = {"below": below, ".": file.parent, "above": file.parent.parent}[where]
    (said,) = mend([looked_at])
    assert said.endswith("was cut off when it was done: a.cfg")
    assert file.read_bytes() == b"after\n"
    assert mend([looked_at]) == ()


def test_a_journal_that_leads_out_of_its_folder_is_left_alone(file: Path, tmp_path: Path) -> None:
    """An unpacked archive may hold one; nothing outside its folder is touched."""
    from pincheck.writing.journal import begin

    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "b.cfg").write_bytes(b"after\n")
    journal = begin(mine, [FileChange(mine / "b.cfg", "b.cfg", b"before\n", b"after\n")])
    journal.close()
    packed = journal.path.read_bytes()
    for name in ("../machine/a.cfg", str(file), "link/a.cfg"):
        from hashlib import sha256

        head, _, body = packed.split(b"\n", 2)
        body = body.replace(b"b.cfg", name.encode())
        journal.path.write_bytes(b"\n".join((head, sha256(body).hexdigest().encode(), body)))
        if name.startswith("link"):
            (mine / "link").symlink_to(file.parent)
        file.write_bytes(b"after\n")
        (said,) = mend([mine])
        assert said.endswith("is no journal of this program and was left alone")
        assert file.read_bytes() == b"after\n"


@pytest.mark.parametrize("make", [os.mkfifo, os.mkdir, lambda path: path.symlink_to("/etc/passwd")])
def test_what_only_has_the_name_of_a_journal(file: Path, make: object) -> None:
    """A pipe, a folder, a link: said, and left alone."""
    make(file.parent / NAME)  # type: ignore[operator]
    (said,) = mend([file])
    assert "was left alone" in said


@as_root
def test_another_users_journal_is_only_named(file: Path) -> None:
    """It could say anything."""
    from pincheck.writing.journal import begin

    begin(file.parent, [changed(file)]).close()
    os.chown(file.parent / NAME, 1234, 1234)
    file.write_bytes(b"after\n")
    (said,) = mend([file])
    assert "is another user's" in said
    assert file.read_bytes() == b"after\n"
