"""What every route must refuse, whichever routes there are: foreign hosts and pages, ways out, floods."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from starlette.testclient import TestClient

from tests.web.conftest import ORIGIN
from tests.web.hostile import CARD, make_hostile
from wringout.dossier import create
from wringout.web import jobs
from wringout.web.app import create_app
from wringout.web.guard import LARGEST_BODY, LARGEST_UPLOAD
from wringout.web.pages import ROUTERS

SECRET = "Nobody's business 4711"
SAFE = {"GET", "HEAD"}
# What each part of an address stands for, so that a route gets far enough to look at the part that is wrong.
GOOD = {
    "name": "mine", "file": "airplane.toml", "card": CARD, "task": "evaluate", "kind": "card", "way": "undo",
    "number": "1", "figure": "stall", "ending": "svg",
}  # fmt: skip
WAYS_OUT = [
    "..", "../secret", "../../secret/airplane.toml", "/etc/passwd", "secret", "linked", "linked.toml",
    "mine\0", "mine\n", "mine\u202e", ".hidden", ".history", "x" * 300, "\\\\server\\share", "C:\\x",
    "mine/../../secret", "%2e%2e%2fsecret", "results/fit", "recordings/linked.csv",
]  # fmt: skip


def routes() -> list[tuple[str, str]]:
    """Method and path of every route of every page."""
    return sorted(
        (method, route.path)  # type: ignore[attr-defined]
        for router in ROUTERS
        for route in router.routes
        for method in route.methods - {"HEAD"}  # type: ignore[attr-defined]
    )


ROUTES = routes()
CHANGES = [route for route in ROUTES if route[0] not in SAFE]
IDS = [f"{method} {path}" for method, path in ROUTES]


def test_no_route_stands_beside_those_of_the_pages() -> None:
    """The application answers at the routes that are tested here, and at no other."""
    described = create_app(Path(__file__).parent).openapi()["paths"]
    found = {(method.upper(), path) for path, methods in described.items() for method in methods}
    assert found == {(method, re.sub(r":\w+}", "}", path)) for method, path in ROUTES}


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory, demo_root: Path) -> Path:
    """A shelf with one dossier, links in it that lead out, and beside the shelf what is nobody's business."""
    outside: Path = tmp_path_factory.mktemp("routes")
    create(outside / "secret")
    for path in (outside / "secret/airplane.toml", outside / "secret.csv"):
        path.write_text(f"name = '{SECRET}'\n", encoding="utf-8")
    mine = outside / "shelf" / "mine"
    make_hostile(demo_root, mine)
    (outside / "shelf" / "linked").symlink_to(outside / "secret")
    (mine / "linked.toml").symlink_to(outside / "secret/airplane.toml")
    (mine / "linked").symlink_to(outside / "secret")
    (mine / "recordings" / "linked.csv").symlink_to(outside / "secret.csv")
    return outside


@pytest.fixture(scope="module")
def client(place: Path) -> Iterator[TestClient]:
    """A browser on this machine; no work is really begun."""
    patch = pytest.MonkeyPatch()

    def refuse(*_: object) -> None:
        raise OSError(11, "no process to spare")

    patch.setattr(jobs, "_spawn", refuse)
    app = create_app(place / "shelf")
    with TestClient(app, base_url=ORIGIN, raise_server_exceptions=False, follow_redirects=False) as client:
        yield client
    patch.undo()


def address(path: str, **given: str) -> str:
    """The address of a route, its parts good but for those given."""
    return re.sub(
        r"{(\w+)(:path)?}",
        lambda part: quote(given.get(part[1], GOOD[part[1]]), safe="/" if part[2] else ""),
        path,
    ).replace("..", "%2e%2e")  # or the client would walk the dots itself


def prints(folder: Path) -> dict[str, str]:
    """A print of every file under a folder but the results that pages may compute."""
    return {
        str(path.relative_to(folder)): sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file() and not {"results", "linked"} & set(path.parts)
    }


@pytest.mark.parametrize(("method", "path"), ROUTES, ids=IDS)
@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example:80", "mine", ""])
def test_another_sites_name_gets_nothing(client: TestClient, method: str, path: str, host: str) -> None:
    """A name that is rebound to this machine opens no route, not even of a style sheet."""
    answer = client.request(method, address(path), headers={"host": host, "origin": f"http://{host}"})
    assert answer.status_code == 403
    assert "Shepherd" not in answer.text


@pytest.mark.parametrize(("method", "path"), CHANGES, ids=[f"{m} {p}" for m, p in CHANGES])
@pytest.mark.parametrize(
    "sent",
    [{}, {"origin": "http://evil.example"}, {"origin": "null"}, {"sec-fetch-site": "cross-site"},
     {"origin": "http://127.0.0.1:9999"}, {"sec-fetch-site": "same-site"}, {"origin": "https://127.0.0.1.evil"}],
)  # fmt: skip
def test_no_change_comes_from_elsewhere(
    client: TestClient, place: Path, method: str, path: str, sent: dict[str, str]
) -> None:
    """A form or a script on another page, or one that says nothing of itself, changes nothing."""
    before = prints(place)
    answer = client.request(
        method, address(path), headers=sent, data={"file": "airplane.toml", "name": "new"}
    )
    assert answer.status_code == 403
    assert prints(place) == before


@pytest.mark.parametrize(("method", "path"), CHANGES, ids=[f"{m} {p}" for m, p in CHANGES])
def test_no_flood_is_taken(client: TestClient, place: Path, method: str, path: str) -> None:
    """By its length where it says one, by its bytes where it says none, as a form or in parts."""
    limit = LARGEST_UPLOAD if path.endswith("/recordings") else LARGEST_BODY
    headers = {"origin": ORIGIN, "content-length": str(limit + 1)}
    assert client.request(method, address(path), headers=headers, content=b"x").status_code == 413
    if limit == LARGEST_UPLOAD:
        return  # 300 MB would take their time; that a body is counted is told by the others
    before = prints(place)

    def flood(start: bytes) -> Iterator[bytes]:
        yield start
        for _ in range(limit // 1_000_000 + 1):
            yield b"x" * 1_000_000

    part = b'--b\r\nContent-Disposition: form-data; name="text"\r\n\r\n'
    for kind, start in (
        ("application/x-www-form-urlencoded", b"text="),
        ("multipart/form-data; boundary=b", part),
    ):
        answer = client.request(
            method, address(path), content=flood(start), headers={"origin": ORIGIN, "content-type": kind}
        )
        reads_no_body = path.endswith(("/stop", "/work/{task}"))
        assert answer.status_code in {400, 413, 422} or reads_no_body, answer.status_code
    assert prints(place) == before


@pytest.mark.parametrize(("method", "path"), ROUTES, ids=IDS)
def test_no_part_of_an_address_leads_out(client: TestClient, place: Path, method: str, path: str) -> None:
    """Neither through dots, nor from the root, nor through a link, nor by a name that cannot be."""
    before = prints(place)
    for part in re.findall(r"{(\w+)", path):
        for way in WAYS_OUT:
            if way == "results/fit" and part == "name":
                continue
            there = address(path, **{part: way})
            answer = client.request(method, there, headers={"origin": ORIGIN})
            assert answer.status_code in {404, 405, 422}, (there, answer.status_code)
            assert SECRET not in answer.text
            assert "Traceback" not in answer.text
    assert prints(place) == before


def fields_of(html: str) -> dict[str, dict[str, str]]:
    """By the address to which it is sent, the names and values of all fields of a page."""
    targets = set(re.findall(r'(?:hx-post|action)="(/[^"]+)"', html))
    tags = re.findall(r"<(?:input|select|textarea|button)\b[^>]*>", html)
    named: dict[str, str] = {}
    for tag in tags:
        name, value = re.search(r'\bname="([^"]+)"', tag), re.search(r'\bvalue="([^"]*)"', tag)
        if name:
            named.setdefault(name[1], value[1] if value else "")
    return dict.fromkeys(targets, named)


def parameters() -> dict[tuple[str, str], set[str]]:
    """By method and path, the names of what a route takes as query or form, as it describes itself."""
    described: Any = create_app(Path(__file__).parent).openapi()
    schemas = described.get("components", {}).get("schemas", {})
    found: dict[tuple[str, str], set[str]] = {}
    for path, methods in described["paths"].items():
        for method, said in methods.items():
            names = {item["name"] for item in said.get("parameters", []) if item["in"] == "query"}
            for content in said.get("requestBody", {}).get("content", {}).values():
                reference = content["schema"].get("$ref", "").rsplit("/", 1)[-1]
                names |= set(schemas.get(reference, content["schema"]).get("properties", {}))
            found[method.upper(), path] = names
    return found


PAGES = ["/", "/d/mine/", "/d/mine/airplane", "/d/mine/loading", "/d/mine/flights",
         "/d/mine/text/airplane.toml", f"/d/mine/flights/{CARD}/found",
         f"/d/mine/flights/{CARD}/reading?at=0",
         f"/d/mine/recordings/attach?path=recordings/{CARD}-engine.csv"]  # fmt: skip


LEADS = {"file", "path", "source", "name", "like", "card", "save.card", "save.mission"}  # with every way out


def test_no_field_of_a_form_leads_out(client: TestClient, place: Path) -> None:
    """What every route says it takes, and every field of every page, is tried with each way out."""
    forms: dict[tuple[str, str], dict[str, str]] = {}
    for (method, path), names in parameters().items():
        if names:
            forms[method, address(path)] = dict.fromkeys(names, "")
    for shown in PAGES:
        answer = client.get(shown)
        assert answer.status_code == 200, shown
        for target, fields in fields_of(answer.text).items():
            # Fields of one kind, such as the masses of all stations, are one way in.
            kinds = {re.sub(r"\d+", "0", name): (name, value) for name, value in fields.items()}
            forms.setdefault(("POST", target), {}).update(kinds.values())
    outside = prints(place / "secret")
    tried = 0
    for (method, target), fields in forms.items():
        is_get = method == "GET"
        many = len(fields) > 30  # all of an airplane's: quantities, most of them
        for name in [*fields][::8] if many else fields:
            if name in {"version", "do", "text"} or name.startswith(("version-", "edge")):
                continue
            leads = not many and (name in LEADS or len(fields) < 4)
            for way in WAYS_OUT if leads else [WAYS_OUT[tried % len(WAYS_OUT)]]:
                sent = fields | {name: way}
                answer = client.request(
                    method, target, headers={"origin": ORIGIN},
                    params=sent if is_get else None, data=None if is_get else sent,
                )  # fmt: skip
                assert answer.status_code < 500, (method, target, name, way, answer.text[:500])
                assert SECRET not in answer.text, (method, target, name, way)
                tried += 1
    assert tried > 200
    assert prints(place / "secret") == outside
    assert {path.name for path in place.iterdir()} == {"secret", "secret.csv", "shelf"}


@pytest.mark.parametrize("name", [*WAYS_OUT, "a.csv\0.exe", "con\r\nfig.csv", "a" * 200 + ".csv", ".csv"])
def test_a_recordings_name_leads_nowhere_but_into_the_recordings(
    client: TestClient, place: Path, name: str
) -> None:
    """Whatever name is sent, nothing is written beside the recordings, and no file there is changed."""
    before = prints(place)
    body = (
        b'--b\r\nContent-Disposition: form-data; name="files"; filename="'
        + name.encode().replace(b'"', b"%22")
        + b'"\r\n\r\ntime,airspeed (kt)\n2026-05-12 09:00:00,60\n2026-05-12 09:00:01,61\n\r\n--b--\r\n'
    )
    headers = {"origin": ORIGIN, "content-type": "multipart/form-data; boundary=b"}
    answer = client.post("/d/mine/recordings", content=io.BytesIO(body).read(), headers=headers)
    assert answer.status_code in {200, 400, 422}, answer.text
    after = prints(place)
    new = [path for path in after if path not in before]
    assert all(path.startswith("shelf/mine/recordings/") and path.count("/") == 3 for path in new)
    assert {path: after[path] for path in before} == before
    for path in new:
        (place / path).unlink()
