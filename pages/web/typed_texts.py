"""The script that keeps a text while it is typed: Streamlit knows it only once its box is left, and a reload would lose it."""

from __future__ import annotations

from pathlib import Path

from starlette.responses import Response
from starlette.routing import Route

PATH = "/typed-texts.js"
TAG = f'<script src="{PATH}"></script>'
"""What a screen shows to load it; loaded twice it does nothing more."""
_SCRIPT = Path(__file__).with_suffix(".js").read_bytes()


async def _script(_request: object) -> Response:
    return Response(_SCRIPT, media_type="text/javascript", headers={"cache-control": "no-cache"})


route = Route(PATH, _script)
"""The route of the server that hands it out."""
