"""The test client, whose library warns that its own base has a successor which is not pinned yet."""

import warnings

with warnings.catch_warnings():
    warnings.filterwarnings("ignore", message="Using `httpx` with `starlette.testclient`")
    from starlette.testclient import TestClient

__all__ = ["TestClient"]
