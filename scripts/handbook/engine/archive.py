"""The files that carry bytes: the archive of `calc`, gzip without a date, and scripts for a folder."""

from __future__ import annotations

import base64
import gzip
import io
import zipfile
from pathlib import Path

# The earliest moment a zip can hold. Any fixed one would do.
_NO_TIME = (1980, 1, 1, 0, 0, 0)


def calc_archive(calc_dir: Path) -> bytes:
    """`calc` as a zip that Python can import from; the same sources give the same bytes."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for path in sorted(calc_dir.rglob("*.py"), key=Path.as_posix):
            member = zipfile.ZipInfo(path.relative_to(calc_dir.parent).as_posix(), _NO_TIME)
            member.create_system = 3  # else the zip would say which system it was made on
            member.external_attr = 0o644 << 16
            member.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(member, path.read_bytes().replace(b"\r\n", b"\n"))
    return packed.getvalue()


def gzipped(data: bytes) -> bytes:
    """`data` as a gzip file that names neither time, file nor system."""
    packed = io.BytesIO()
    with gzip.GzipFile(filename="", mode="wb", compresslevel=9, fileobj=packed, mtime=0) as file:
        file.write(data)
    return packed.getvalue()


def payload_script(part: str, data: bytes) -> str:
    """A script that leaves `data` behind as base64 text under the name `part`."""
    text = base64.b64encode(data).decode()
    return f'(self.furrowbookPayload ??= {{}}).{part} = "{text}";\n'
