"""Strangers' drawings: a fixed list of packages, each version with its hash, fetched by npm's own client."""

from __future__ import annotations

import base64
import hashlib
import subprocess
import tarfile
from pathlib import Path

__all__ = ["DRAWINGS", "fetched"]

# What npm calls the integrity of each package's archive (Subresource Integrity, SHA-512).
DRAWINGS = {
    "feather-icons@4.29.2": (
        "0TaCFTnBTVCz6U+baY2UJNKne5ifGh7sMG4ZC2LoBWCZdIyPa+y6UiR4lEYGws1JOFWdee8KAsAIvu0VcXqiqA=="
    ),
    "flag-icons@7.5.0": ("kd+MNXviFIg5hijH766tt+3x76ele1AXlo4zDdCxIvqWZhKt4T83bOtxUOOMlTx/EcFdUMH5yvQgYlFh1EqqFg=="),
    "maki@2.1.0": ("rKat2M8wvyEPkzRvuFy2r0/gzC2+0QFtNTbenCryvPxyO8O/frMnuE1BmHcHiYQbMY9O69t1T+SrneiCtFzlaw=="),
    "typicons.font@2.1.2": ("M3HvpFFs24PuCoV16QFKCcPXOMOCiAqcEIchgLBAdewHh2C5krP4clZ0HR4d8glWLOctz8Ak7IlZotNwmYfd5g=="),
    "evil-icons@1.10.1": ("gIBzN6rpvG5om/WAu1rEiE9SgT9mQ00cmYvRb6Cr4ngVaz9Ae8JGeEByMOvrfKvrMhsZzLCNmUJLBJZwjri4bw=="),
    "entypo@2.2.1": ("6f1hlN6jgnBj5T4IsIJHYptJAIB3m1xIt/am1vutlnBjnJKOrtH3GY2po48evd2g3s5U5oWu27K+pe5mXB085w=="),
    "foundation-icons@2.0.0": (
        "5Ne+rmJDkNcZjSKA1xxgDUggOxQU2KWiwnduDZSNcpSRVqfwdH6g3IkbhJX0NMqQJ7uggXJV1InRaYnpDiJ66w=="
    ),
    "@icon/open-iconic@1.1.4": (
        "L0Ed3F6f6thfd55I/4d1fBSc8u4adzOFQa6Fu2thHoV1MiixDGNTfqDnb2Q9iOZgIGT5VEAGeulyBf0YyzY4Lg=="
    ),
    "cm-chessboard@8.15.1": (
        "oaRmOYskBqkVvY8cPO5J3EhWB/UTncDU8028iM2nG0PLPv9dMZTT0W4Zm7IKvTWrHVvGpc/KbKbeFAuxb8uMFg=="
    ),
    "jam-icons@2.0.0": ("AbfqqvNpRGAsGvKterHUkvt+lVTWMB++lBK29o27WEvi4Ji/KVsABmE+odL5mLDiXU3ZPEKjRvSmcO20u8nIgA=="),
    "open-weather-icons@0.0.8": (
        "9/ic3bOM5rF+4FXMXIWjroE+b5oz2CdEkyN8066nTy7i0QFeyJQwYyriZ4NaVPThcxN968OplNxdeLnJKQVQ5Q=="
    ),
}


def fetched(folder: Path) -> list[Path]:
    """Every SVG file of the packages, in a fixed order; fetched where they are not in the folder yet.

    Raises ValueError for an archive that is not the one listed, OSError or CalledProcessError where none can be had.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for package, digest in DRAWINGS.items():
        place = folder / package.replace("/", "-").removeprefix("@")
        if place.is_dir():
            continue
        name = subprocess.run(
            ["npm", "pack", "--silent", package], cwd=folder, check=True, capture_output=True, text=True
        ).stdout.split()[-1]
        archive = folder / name
        if base64.b64encode(hashlib.sha512(archive.read_bytes()).digest()).decode() != digest:
            raise ValueError(f"{package} is not the archive that was listed")
        with tarfile.open(archive) as tar:
            drawings = [member for member in tar if member.isfile() and member.name.endswith(".svg")]
            tar.extractall(place, members=drawings, filter="data")
        archive.unlink()
    return sorted(folder.rglob("*.svg"))
