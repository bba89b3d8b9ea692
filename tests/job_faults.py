"""Jobs that are wrong, and what is said of them."""

from __future__ import annotations

import re

from hypothesis import strategies as st

from stopcut.errors import Fault, WrongJob
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job

_pieces = re.findall(r"\s+|[\w.]+|.", demo_job_text())


@st.composite
def spoilt_jobs(draw: st.DrawFn) -> str:
    pieces = list(_pieces)
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(pieces) - 1))
        pieces[at : at + draw(st.integers(0, 3))] = draw(
            st.lists(
                st.one_of(st.sampled_from(_pieces), st.sampled_from(["nan", "-1", "[", '"', "{}", "''", "\\"]))
            ).filter(lambda new: len(new) < 4)
        )
    return "".join(pieces)


def faults_of(text: str) -> tuple[Fault, ...]:
    try:
        parse_job(text)
    except WrongJob as wrong:
        return wrong.faults
    return ()
