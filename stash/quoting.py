"""Text as it is written into a YAML file."""

from __future__ import annotations

import re

_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9%,._/ -]*[A-Za-z0-9%])?")
_READ_OTHERWISE = re.compile(r"null|true|false|yes|no|on|off|y|n|[0-9][^ %]*", re.IGNORECASE)  # by YAML 1.1 or 1.2


def quoted(text: str) -> str:
    """Text as a YAML value or key: bare where no reader takes it for anything but text, else in quotes."""
    if _PLAIN.fullmatch(text) and not _READ_OTHERWISE.fullmatch(text):
        return text
    if '"' in text or "\\" in text:
        return "'" + text.replace("'", "''") + "'"
    return f'"{text}"'
