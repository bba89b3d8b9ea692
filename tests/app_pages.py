"""Small pages for tests of the server itself, in a process of the app's own."""

from __future__ import annotations

import time
from pathlib import Path

from fastapi import FastAPI
from starlette.staticfiles import StaticFiles

changes: list[str] = []


def pages(api: FastAPI) -> None:
    """A page that counts, an address that changes something, a folder with a link out of it, a page that holds up."""
    from nicegui import app, run, ui

    from stopcut.app.share import share_card

    folder = Path("static")
    folder.mkdir()
    (folder / "plain.txt").write_text("plain")
    (Path.cwd().parent / "secret.txt").write_text("a secret of the machine")
    (folder / "link.txt").symlink_to(Path.cwd().parent / "secret.txt")
    api.mount("/files", StaticFiles(directory=folder))

    @ui.page("/")
    def front() -> None:
        count = ui.label("0").props("id=count")
        ui.button("Count", on_click=lambda: count.set_text(str(int(count.text) + 1)))
        ui.upload(on_upload=lambda sent: count.set_text(sent.file.name), auto_upload=True)
        card = share_card()
        if card is not None:
            ui.html(card.code_svg, sanitize=False).props("id=code")
            ui.link("address", card.address).props("id=address")
            ui.label(card.caution)
        app.storage.user["seen"] = True

    @ui.page("/held")
    async def held() -> None:
        ui.label("held")
        await ui.context.client.connected()
        Path("begun").touch()
        await run.io_bound(time.sleep, 120)

    @ui.page("/stuck")
    async def stuck() -> None:
        ui.label("stuck")
        await ui.context.client.connected()
        Path("begun").touch()
        time.sleep(120)

    @ui.page("/broken")
    def broken() -> None:
        raise ValueError("the page broke")

    @api.post("/change")
    async def change() -> int:
        changes.append("changed")
        return len(changes)

    @api.get("/changes")
    async def made() -> int:
        return len(changes)

    @api.get("/where")
    async def where() -> list[str]:
        return sorted(path.name for path in Path.cwd().iterdir())
