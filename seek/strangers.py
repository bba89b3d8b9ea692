"""Strangers' drawings and fonts: fixed lists of packages, each version with its hash, fetched by npm's own client."""

from __future__ import annotations

import base64
import hashlib
import subprocess
import tarfile
from pathlib import Path

__all__ = ["DRAWINGS", "FONTS", "FONT_FILES", "fetched"]

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
FONTS = {
    "@expo-google-fonts/alex-brush@0.4.1": (
        "qouZYslwU5vT3DIJ1iIiOWhFw79Z5i2Sd/G9Xv24yTBT+2s3G4juRKBeKGiyUvd5VwMrQYy9SUbfYjezuUPuyg=="
    ),
    "@expo-google-fonts/bangers@0.4.1": (
        "yc/iz6OOs3b6JW5KXZFhiwyAxsZHR3JQC854frmsOVWcOeZzCuwvFE/dIywHR+wy6Y7pv0eBwgMJqO7gkav2mQ=="
    ),
    "@expo-google-fonts/caveat@0.4.2": (
        "kCG35tRUX8Wi+u0Jh5ck3K1u7vZkdLnwRTuKMrEnlVmikvxQFXN1KjF5cL2vqRG7Hwm7648Zl8xe1BWAoIsPCA=="
    ),
    "@expo-google-fonts/courier-prime@0.4.1": (
        "92Mb2Qi70yvL4XqA8VzM+Q/uFFxVulZXPU5WNTPeDzo1P1q6/bCTsZzE1BnfhYwcsp+PmrB0Ulq3E6zmZSrI6g=="
    ),
    "@expo-google-fonts/creepster@0.4.0": (
        "LBYUKpt6ufQ6mg3M/aLLL7Q9Ou930zxF4BJ/J2qZzSJi5oiKwLmpDFhJYtt2tmR9szP61ajjv1xgG/IQVJ+ySg=="
    ),
    "@expo-google-fonts/bungee@0.4.1": (
        "t62Y/bjQUYpaLZ9Wtu2vcmbWjB78gZDKGgaXsrBWI/2Qy1ShlxFycQP8GBUcNx7x3wTy/JJCHrU8YkxywYBKqw=="
    ),
    "@expo-google-fonts/carter-one@0.4.1": (
        "2SwsZ69ghxR12M9Cn+8p8JTnPCg4u1DqkzJXeS/Gp65IB4Se0ADTwsbHbQcsbuj/ln0XRMDWR3NXr0uCkzWsmA=="
    ),
    "@expo-google-fonts/scheherazade-new@0.4.3": (
        "22XxEdPlhZTdeCJEvcKB9MUrSIxQa0cL4yYFqNIuxgIPzkn0xX3aO/OGl5kYT1gaQn8dVsyeWJlBX0IzQk56Iw=="
    ),
    "@expo-google-fonts/rye@0.4.1": (
        "pPLkx/SeMaAZSeATiE58Eqf7xdK9vvJRXGagTCJhJl/glnS1MXWRo5bx0+x5U4IFY5aIn3lmnj3edZdv2WnrEw=="
    ),
    "@expo-google-fonts/im-fell-english-sc@0.4.0": (
        "mLvek700JF54iW4UEtubPvGiEkNYfDE8ssFimuYtW/3xvynSnSEm7oXlx0DVI3GSXxD6Qi1ejAGdogHHsTzlpw=="
    ),
    "@fontsource/unifrakturcook@5.3.0": (
        "oOeUerPztcIBR6/+krMW4n/8VLF8A4NrjCNpR1C6F/C8JLekLMoSm5JzrxfPtyn5RtJdYQdTYigk4CtUCWxBCw=="
    ),
    "@fontsource/uncial-antiqua@5.3.0": (
        "HA/cOSbmAt+RQniolOzckWYOzVUBg3YgczkVD01rRO61ErT9PYN3frgqvH7JqN5/7wg+W05EYY/7MbPdtgT0gw=="
    ),
    "@fontsource/abril-fatface@5.3.0": (
        "voKCJEhGGZNdlk+OS3uFRSDV/HWbs6TAy7qKe9wXq96Uzwadfksyk5eyXLa1T5FkEazBgpHRMRSFBKfA3rbKbg=="
    ),
    "@fontsource/sarabun@5.3.0": (
        "8GWxnEIG9g/2JlZxU+APaVwipcLMkZkBps9N1tEyBxXWaJEnAtHpuaDYmFVG7lzTgr28orG7//htD/rfxDlfFg=="
    ),
    "@fontsource/hind@5.3.0": (
        "tN9N0AurZa2N8JakQw8Eqs5/1Rzpw7J6YA1mYpkkHZ3iTw1JjbSHq6V6hGjhRdZlUMHk1sN+jOhPmuF+RkRKEg=="
    ),
    "@fontsource/metamorphous@5.3.0": (
        "/qNqttYuuqqoLGbh0PARtc5hgn+dAK7Lz4w73YMUQfz5CZfAZTp7fHQc2F8AbWePuqd011T6qn/heyV6Lay5tw=="
    ),
    "@fontsource/heebo@5.3.0": (
        "Z01U2fWWrfJnSE6SmDYtZJ1uCnKs8V3WSdip/lVDfKnsC1ASumb7IZmOrXjaYK+PVm7qGD3+4cwTAFOxG5uMaw=="
    ),
    "@fontsource/kelly-slab@5.3.0": (
        "p4lVAmeFu01QkiPgotBfdpxprWYscS1+wWTl7ir1AI5exi3kG5tzc1W4mI8yyy4SeEN8E1iM0GlDk/fEsXL8wA=="
    ),
}
"""Scripts, black letter, worn edges, slabs, Arabic, Thai, Devanagari, Hebrew: of families that nothing was tuned to."""
FONT_FILES = (".ttf", ".otf", ".woff2")


def fetched(folder: Path, packages: dict[str, str], suffixes: tuple[str, ...]) -> list[Path]:
    """Every file of the packages with one of the suffixes, in a fixed order; fetched where they are not there yet.

    Raises ValueError for an archive that is not the one listed, OSError or CalledProcessError where none can be had.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for package, digest in packages.items():
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
            wanted = [member for member in tar if member.isfile() and member.name.endswith(suffixes)]
            tar.extractall(place, members=wanted, filter="data")
        archive.unlink()
    return sorted(path for path in folder.rglob("*") if path.is_file() and path.name.endswith(suffixes))
