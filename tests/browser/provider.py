"""An OpenID Connect provider on loopback: signs in the person a test names, without a password, and forges tokens on request.

After OpenID Connect Core 1.0 (authorization code flow, 3.1) and Discovery 1.0 (4), from memory.
"""

from __future__ import annotations

import base64
import hashlib
import threading
import time
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import parse_qs, urlencode
from uuid import uuid4

import uvicorn
from joserfc import jwt
from joserfc.jwk import RSAKey
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from tests.browser.server import HOST, free_port

CLIENT, SECRET = "review-client", "invented-client-secret"
START_WITHIN = 20.0


@dataclass
class Login:
    """The person signed in next. ``lasts`` is the lifetime [s]; ``forged`` names the fault of the token."""

    subject: str
    email: str = ""
    name: str = ""
    verified: Any = True
    lasts: float = 3600.0
    forged: str = ""
    more: dict[str, Any] = field(default_factory=dict)

    def claims(self) -> dict[str, Any]:
        """Claims of the provider about the person."""
        claims = {"sub": self.subject, "name": self.name, "email": self.email, "email_verified": self.verified}
        return {**{key: value for key, value in claims.items() if value != ""}, **self.more}


class Provider:
    """Discovery, authorization, token, keys, user info and sign-out; ``login`` is the person signed in next."""

    def __init__(self) -> None:
        self.port = free_port()
        self.url = f"http://{HOST}:{self.port}"
        self.login = Login("nobody")
        self.signed_out = 0
        self._key = RSAKey.generate_key(2048, {"kid": "one", "use": "sig"})
        self._other = RSAKey.generate_key(2048, {"kid": "one", "use": "sig"})
        self._codes: dict[str, tuple[Login, dict[str, str]]] = {}
        routes = [
            Route("/.well-known/openid-configuration", self._discovery),
            Route("/authorize", self._authorize),
            Route("/token", self._token, methods=["POST"]),
            Route("/keys", self._keys),
            Route("/out", self._out),
        ]
        config = uvicorn.Config(Starlette(routes=routes), host=HOST, port=self.port, log_level="error")
        self._server = uvicorn.Server(config)
        self._thread = threading.Thread(target=self._server.run, daemon=True)

    def start(self) -> None:
        """Start it and wait for its first answer."""
        self._thread.start()
        deadline = time.monotonic() + START_WITHIN
        while not self._server.started:
            assert time.monotonic() < deadline, "the provider does not start"
            time.sleep(0.02)

    def stop(self) -> None:
        """End it."""
        self._server.should_exit = True
        self._thread.join(START_WITHIN)

    async def _discovery(self, _request: Request) -> Response:
        metadata = {
            "issuer": self.url,
            "authorization_endpoint": f"{self.url}/authorize",
            "token_endpoint": f"{self.url}/token",
            "jwks_uri": f"{self.url}/keys",
            "end_session_endpoint": f"{self.url}/out",
            "response_types_supported": ["code"],
            "subject_types_supported": ["public"],
            "id_token_signing_alg_values_supported": ["RS256"],
            "code_challenge_methods_supported": ["S256"],
        }
        return JSONResponse(metadata)

    async def _authorize(self, request: Request) -> Response:
        asked = dict(request.query_params)
        assert asked["client_id"] == CLIENT
        assert "openid" in asked["scope"].split()
        if self.login.forged == "refused":
            back = {"error": "access_denied", "state": asked["state"]}
        else:
            code = uuid4().hex
            self._codes[code] = (self.login, asked)
            back = {"code": code, "state": asked["state"]}
        return RedirectResponse(f"{asked['redirect_uri']}?{urlencode(back)}", status_code=302)

    async def _token(self, request: Request) -> Response:
        sent = {name: values[0] for name, values in parse_qs((await request.body()).decode()).items()}
        basic = base64.b64encode(f"{CLIENT}:{SECRET}".encode()).decode()
        login, asked = self._codes.pop(sent["code"])
        proof = base64.urlsafe_b64encode(hashlib.sha256(sent["code_verifier"].encode()).digest()).rstrip(b"=").decode()
        if request.headers["authorization"] != f"Basic {basic}" or proof != asked["code_challenge"]:
            return JSONResponse({"error": "invalid_client"}, status_code=401)
        token = self._signed(login, asked["nonce"])
        return JSONResponse({"access_token": uuid4().hex, "token_type": "Bearer", "expires_in": 60, "id_token": token})

    def _signed(self, login: Login, nonce: str) -> str:
        issued = int(time.time())
        claims = {"iss": self.url, "aud": CLIENT, "iat": issued, "exp": issued + login.lasts, "nonce": nonce}
        forged: dict[str, dict[str, Any]] = {
            "issuer": {"iss": "http://127.0.0.1:9/another"},
            "audience": {"aud": "another-client", "azp": CLIENT},  # a party that may ask for us is not us
            "audience alone": {"aud": "another-client"},
            "nonce": {"nonce": "another"},
            "long over": {"exp": issued - 3600},
        }
        claims |= login.claims() | forged.get(login.forged, {})
        key = self._other if login.forged == "signature" else self._key
        return jwt.encode({"alg": "RS256", "kid": "one"}, claims, key)

    async def _keys(self, _request: Request) -> Response:
        return JSONResponse({"keys": [self._key.as_dict(private=False)]})

    async def _out(self, request: Request) -> Response:
        self.signed_out += 1
        return RedirectResponse(request.query_params["post_logout_redirect_uri"], status_code=302)
