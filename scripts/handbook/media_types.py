"""The types of the files in a site, for the host here and for what is kept on a device."""

from __future__ import annotations

from pathlib import PurePath

MEDIA_TYPES = {
    ".html": "text/html",
    ".css": "text/css",
    ".js": "text/javascript",
    ".mjs": "text/javascript",
    ".json": "application/json",
    ".webmanifest": "application/manifest+json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".webp": "image/webp",
    ".pdf": "application/pdf",
    ".txt": "text/plain",
    ".csv": "text/csv",
    ".yml": "application/yaml",
    ".woff2": "font/woff2",
    ".wasm": "application/wasm",
    ".zip": "application/zip",
    ".bin": "application/octet-stream",
}


def media_type(name: str) -> str:
    """The type of a file by its ending. Raises `KeyError` for an ending that no site of ours has."""
    return MEDIA_TYPES[PurePath(name).suffix]
