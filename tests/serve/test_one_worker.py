"""One worker behind a real nginx by https, with the file that is shipped."""

import http.client
import ssl
import subprocess
import time
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from explorer.serve.visitor_limit import share_of
from tests.serve.test_behind_nginx import (
    PAGE,
    Site,
    find_nginx,
    free_port,
    running_nginx,
    substituted,
)

NAME = "gearing.club.example"


@pytest.fixture(scope="module")
def site(serve_pages, tmp_path_factory, repository):
    nginx = find_nginx()
    folder = tmp_path_factory.mktemp("nginx")
    certificate = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "1"]
    certificate += ["-subj", f"/CN={NAME}", "-addext", f"subjectAltName=DNS:{NAME}"]
    certificate += ["-keyout", folder / "privkey.pem", "-out", folder / "fullchain.pem"]
    subprocess.run(certificate, check=True, capture_output=True)
    worker = serve_pages({"page": PAGE}, "--pool", "0", "--visitors", "8", "--behind", "127.0.0.1")
    site = Site(free_port(), folder, {"1": worker})
    site.plain_port = free_port()
    changes = {
        "listen 80;": f"listen 127.0.0.1:{site.plain_port};",
        "listen 443 ssl;": f"listen 127.0.0.1:{site.port} ssl;",
        "/var/log/nginx/": f"{folder}/",
        "/etc/ssl/gearing/": f"{folder}/",
        "8871": str(urlsplit(worker.url).port),
    }
    shipped = (repository / "explorer/serve/publish/nginx-one.conf").read_text()
    (folder / "gearing.conf").write_text(substituted(shipped, changes))
    with running_nginx(site, nginx):
        yield site


def trusted(site: Site) -> ssl.SSLContext:
    """Trusts the site's certificate, which is for its name and not for this machine's address."""
    context = ssl.create_default_context(cafile=Path(site.folder, "fullchain.pem"))
    context.check_hostname = False
    return context


def ask(site: Site, path: str, source: str = "127.0.0.1", **headers: str):
    """Ask nginx by https under the name in its certificate, from an address of this machine."""
    connection = http.client.HTTPSConnection(
        "127.0.0.1", site.port, timeout=60, context=trusted(site), source_address=(source, 0)
    )
    try:
        connection.request("GET", path, headers={"Host": NAME} | headers)
        answer = connection.getresponse()
        return answer.status, answer.headers, answer.read().decode()
    finally:
        connection.close()


def test_plain_http_leads_to_the_same_address_by_https(site):
    connection = http.client.HTTPConnection("127.0.0.1", site.plain_port, timeout=60)
    connection.request("GET", "/page?rear=48", headers={"Host": NAME})
    answer = connection.getresponse()
    assert (answer.status, answer.headers["Location"]) == (301, f"https://{NAME}/page?rear=48")
    connection.close()


def test_a_page_is_right_under_the_name_as_the_readme_frames_it(site, repository):
    status, headers, html = ask(site, "/page?rear=48")
    assert status == 200 and "data-view" in html
    assert headers["Strict-Transport-Security"]
    readme = (repository / "README.md").read_text("utf-8")
    assert f'<iframe src="https://{NAME}/gearing"' in readme


def test_the_websocket_opens_to_a_page_of_the_same_name_only(site):
    kernel = ask(site, "/page")[2].split('"kernelId": "')[1].split('"')[0]
    upgrade = {
        "Upgrade": "websocket",
        "Connection": "Upgrade",
        "Sec-WebSocket-Version": "13",
        "Sec-WebSocket-Key": "x3JJHMbDL1EzLkh9GBhXDw==",
    }
    path = f"/api/kernels/{kernel}/channels"
    assert ask(site, path, Origin="https://elsewhere.example", **upgrade)[0] == 403
    connection = http.client.HTTPSConnection(
        "127.0.0.1", site.port, timeout=60, context=trusted(site)
    )
    connection.request("GET", path, headers={"Host": NAME, "Origin": f"https://{NAME}", **upgrade})
    assert connection.getresponse().status == 101
    connection.close()


def test_the_log_names_nobody(site):
    ask(site, "/page?rear=48")
    assert "rear=48" not in site.log and "127.0.0.1" not in site.log


def test_an_address_has_its_share_of_the_places_whatever_it_says_of_itself(site):
    """Linux has all of 127.0.0.0/8 on this machine (RFC 6890)."""
    greedy = [
        ask(site, "/page", "127.0.0.2", **{"X-Real-IP": f"192.0.2.{n}", "X-Forwarded-For": "x"})[0]
        for n in range(7)
    ]
    assert greedy.count(200) <= share_of(8) == 6 and greedy[-1] == 503
    until = time.monotonic() + 60
    while ask(site, "/page", "127.0.0.3")[0] != 200:  # until a place has been idle for a moment
        assert time.monotonic() < until
