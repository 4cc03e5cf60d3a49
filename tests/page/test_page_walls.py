"""The walls: who may ask, how much, which files; and that nothing is overwritten silently."""

from __future__ import annotations

import socket
from pathlib import Path

import httpx
import pytest

from hobwind.errors import InputError
from hobwind.page.keeping import Changed, Folder, digest_of
from hobwind.page.running import open_door
from serving import serving


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1", "localhost:1", "169.254.169.254", ""])
def test_a_foreign_host_gets_nothing(page: httpx.Client, host: str) -> None:
    assert page.get("/build", headers={"Host": host}).status_code in (400, 403)


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "https://127.0.0.1"])
def test_a_foreign_origin_gets_nothing(page: httpx.Client, origin: str) -> None:
    assert page.post("/api/build/look", json={"text": ""}, headers={"Origin": origin}).status_code == 403


def test_own_origin_comes_in(page: httpx.Client, address: str) -> None:
    assert page.get("/api/files", headers={"Origin": address}).status_code == 200


def test_forms_from_elsewhere_are_refused(page: httpx.Client) -> None:
    assert page.post("/api/build/look", data={"text": "x"}).status_code == 415
    assert page.post("/api/build/look", json={"text": ""}, headers={"Sec-Fetch-Site": "cross-site"}).status_code == 403


def test_policy_allows_neither_eval_nor_inline_nor_elsewhere(page: httpx.Client) -> None:
    for where in ("/doors", "/build?file=boat-shed.toml", "/own/build.js", "/api", "/nope"):
        policy = page.get(where).headers["content-security-policy"]
        assert "default-src 'none'" in policy and "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy and "http:" not in policy and "*" not in policy


def test_too_much_is_refused_with_and_without_a_length(page: httpx.Client) -> None:
    much = b'{"text": "' + b"x" * 2_100_000 + b'"}'
    kind = {"Content-Type": "application/json"}
    assert page.post("/api/build/look", content=much, headers=kind).status_code == 413
    piecewise = (much[i : i + 65536] for i in range(0, len(much), 65536))
    assert page.post("/api/build/look", content=piecewise, headers=kind).status_code == 413


@pytest.mark.parametrize("name", ["../x.toml", "..%2Fx.toml", "/etc/passwd", "a/b.toml", ".hidden.toml", "x.txt", "a\x00.toml"])
def test_no_name_leads_out(page: httpx.Client, folder: Path, name: str) -> None:
    with pytest.raises(InputError, match="cannot be used"):
        Folder(folder).place(name)
    if "\x00" not in name:
        assert page.get(f"/api/files/{name}").status_code in (404, 422)
        assert page.put(f"/api/files/{name}", json={"text": "x"}).status_code in (404, 405, 422)


def test_a_link_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    inside = tmp_path / "in"
    inside.mkdir()
    (tmp_path / "secret.toml").write_text("x", "utf-8")
    (inside / "link.toml").symlink_to(tmp_path / "secret.toml")
    with pytest.raises(InputError, match="link out of the folder"):
        Folder(inside).read("link.toml")


def test_save_notices_a_change_on_disk(tmp_path: Path) -> None:
    folder, path = Folder(tmp_path), tmp_path / "a.toml"
    path.write_text("one", "utf-8")
    loaded = digest_of("one")
    path.write_text("two", "utf-8")
    with pytest.raises(Changed, match="changed by somebody else"):
        folder.save("a.toml", "three", loaded)
    assert path.read_text("utf-8") == "two"
    folder.save("a.toml", "three", digest_of("two"))
    assert path.read_text("utf-8") == "three"
    with pytest.raises(Changed):
        folder.save("a.toml", "four", "")  # a new file must not be there


def test_autosave_stands_beside_and_goes_with_the_save(page: httpx.Client, folder: Path) -> None:
    text = page.get("/api/files/boat-shed-no-guard.toml").json()
    changed = text["text"] + "\n# more\n"
    assert page.put("/api/files/boat-shed-no-guard.toml/autosave", json={"text": changed}).status_code == 204
    assert (folder / ".boat-shed-no-guard.autosave.toml").read_text("utf-8") == changed
    assert page.get("/api/files/boat-shed-no-guard.toml").json()["autosaved"] == changed
    assert ".boat-shed-no-guard.autosave.toml" not in page.get("/api/files").json()["names"]
    saved = page.put("/api/files/boat-shed-no-guard.toml", json={"text": changed, "loaded": text["digest"]})
    assert saved.json() == {"digest": digest_of(changed)}
    assert not (folder / ".boat-shed-no-guard.autosave.toml").exists()
    again = page.put("/api/files/boat-shed-no-guard.toml", json={"text": "x", "loaded": text["digest"]})
    assert again.status_code == 409 and again.json()["text"] == changed


def test_it_listens_here_only() -> None:
    opening = open_door(None, lan=False)
    try:
        assert opening.listener.getsockname()[0] == "127.0.0.1" and opening.key == ""
    finally:
        opening.listener.close()


def test_a_taken_port_is_said() -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        with pytest.raises(InputError, match="is taken"):
            open_door(other.getsockname()[1], lan=False)


def test_other_devices_need_the_key_of_this_run(folder: Path) -> None:
    opening = open_door(None, lan=True)
    opening.listener.close()
    assert len(opening.key) == 8 and opening.address.endswith(f"/k/{opening.key}")
    with serving(folder, "--lan") as printed:
        where, _, key = printed.partition("/k/")
        with httpx.Client(base_url=where, timeout=30.0) as stranger, httpx.Client(base_url=where, timeout=60.0) as phone:
            for _ in range(60):  # the socket listens before the server answers
                try:
                    first = stranger.get("/api/files")
                    break
                except httpx.TransportError:
                    continue
            assert first.status_code == 403
            assert stranger.get("/k/AAAAAAAA").status_code == 403
            assert stranger.get("/build", headers={"Cookie": "hobwind_key=AAAAAAAA"}).status_code == 403
            let_in = phone.get(f"/k/{key.lower()}")  # typed by hand, in small letters; the device keeps it from then on
            assert let_in.status_code == 303 and let_in.headers["location"] == "/"
            assert {"HttpOnly", "SameSite=Strict"} <= {one.strip() for one in let_in.headers["set-cookie"].split(";")}
            assert phone.get("/api/files").status_code == 200 and phone.get("/learn?file=boat-shed.toml").status_code == 200
            assert stranger.get("/api/files").status_code == 403
