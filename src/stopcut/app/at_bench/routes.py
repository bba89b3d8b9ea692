"""The addresses of the Bench section: the steps, and what a page at the bench sends when it can.

What a page sends is answered so that it knows what to do with it: 204, it is kept; 503, the store is busy, full or
away, so keep it and try again; 404, the job is gone; 409 and 422, it can never be taken.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from functools import lru_cache
from threading import Lock
from typing import Annotated, Any, Literal

from fastapi import FastAPI, Query, Response
from pydantic import BaseModel, ConfigDict, Field
from starlette.concurrency import run_in_threadpool

from stopcut.app.at_bench.asked import PlanAsked
from stopcut.app.at_bench.page_steps import bench_steps
from stopcut.app.at_bench.timed import Weighed, weighed
from stopcut.app.open_jobs import OpenJobs, job_of
from stopcut.bench.minutes import Logged, Skill, believed
from stopcut.bench.order import Way, Within
from stopcut.errors import CarverError
from stopcut.shop.rates import Rates, read_times
from stopcut.shop.roll import read_roll
from stopcut.shop.shop_file import Shop, read_shop
from stopcut.shop.tools import Roll
from stopcut.store import Store
from stopcut.store.values import Counts, LoggedMinutes, NoSuchJob, StoreTrouble, Tick
from stopcut.work import Work

__all__ = ["serve_bench", "steps_of", "weighed_letters"]

_Id = Annotated[str, Field(pattern=r"^[0-9a-f]{8,64}$")]
_Mark = Annotated[str, Field(pattern=r"^[0-9]{1,6}\.[0-9]{1,6}\.[0-9a-f]{18}$")]
_Ms = Annotated[int, Field(ge=0, le=253_402_300_799_000)]  # to the end of the year 9999, after which there are no dates
_Minutes = Annotated[float, Field(gt=0, le=100_000, allow_inf_nan=False)]
_Tools = Annotated[list[Annotated[str, Query(max_length=200)]], Query(max_length=200)]


class _Tick(BaseModel):
    model_config = ConfigDict(extra="forbid")
    what: Literal["tick"]
    id: _Id
    mark: _Mark
    done: bool
    at_ms: _Ms


class _Timed(BaseModel):
    """A letter that was timed; a page of an earlier version names no steps."""

    model_config = ConfigDict(extra="forbid")
    what: Literal["minutes"]
    id: _Id
    letter: Annotated[str, Field(pattern=r"^[0-9]{1,6}:[0-9]{1,6}$")]
    reckoned: _Minutes
    taken: _Minutes
    at_ms: _Ms
    steps: Annotated[list[_Mark], Field(max_length=200)] = []
    counts: Counts = "judged"


class _TakenBack(BaseModel):
    model_config = ConfigDict(extra="forbid")
    what: Literal["take back"]
    id: _Id
    minutes: _Id


_OfMinutes = Annotated[_Timed | _TakenBack, Field(discriminator="what")]


def serve_bench(api: FastAPI, jobs: OpenJobs) -> None:
    """Put the addresses on the server."""
    store = jobs.store

    @api.get("/job/{job_id}/bench/{number}/steps.json")
    async def steps(
        job_id: str,
        number: int,
        order: Way = "middle",
        within: Within = "strokes",
        skill: Skill = "practised",
        only: _Tools = [],  # noqa: B006 (FastAPI reads it, nobody changes it)
    ) -> Any:
        def told() -> dict[str, Any]:
            asked = PlanAsked(order, within, skill, PlanAsked.tools_of(only))
            return {**steps_of(store, job_id, number, asked), "done": sorted(store.ticked(job_id))}

        try:
            return await run_in_threadpool(told)
        except CarverError as problem:
            return _refusal(problem)

    @api.post("/job/{job_id}/bench/ticks")
    async def ticks(job_id: str, sent: Annotated[list[_Tick], Field(max_length=500)]) -> Response:
        made = [Tick(one.id, one.mark, one.done, one.at_ms) for one in sent]
        return await _kept(lambda: store.tick(job_id, made))

    @api.post("/job/{job_id}/bench/minutes")
    async def minutes(job_id: str, sent: Annotated[list[_OfMinutes], Field(max_length=500)]) -> Response:
        def kept() -> None:
            for one in sent:
                if isinstance(one, _TakenBack):
                    store.forget_minutes(job_id, one.minutes)
                else:
                    store.log_minutes(job_id, _logged(one))

        return await _kept(kept)


def steps_of(store: Store, job_id: str, number: int, asked: PlanAsked) -> dict[str, Any]:
    """What a page at the bench is told of a revision; whoever asks for the same meanwhile waits. Raises CarverError."""
    letters = weighed_letters(store, asked.skill)
    text = store.text_at(job_id, number)
    with _planning:
        told = _steps(text, asked, letters.counted, read_roll(), read_shop(), read_times().rates)
    return {**told, "says": [*told["says"], *(finding.on_screen for finding in letters.findings)]}


def weighed_letters(store: Store, skill: Skill) -> Weighed:
    """All letters that were timed, on whatever board, and those of rates.toml. Raises CarverError."""
    times = read_times()
    return weighed(believed(skill, times.rates), times.logged, store.logged_minutes(), times.rates)


_planning = Lock()  # a plan is long work: nobody is to make one twice


def _logged(one: _Timed) -> LoggedMinutes:
    line, letter = (int(part) for part in one.letter.split(":"))
    at = datetime.datetime.fromtimestamp(one.at_ms / 1000, datetime.UTC)
    steps = tuple(one.steps)
    return LoggedMinutes(one.id, line, letter, one.reckoned, one.taken, at, steps=steps, counts=one.counts)


async def _kept(keep: Callable[[], None]) -> Response:
    try:
        await run_in_threadpool(keep)
    except CarverError as problem:
        return _refusal(problem)
    return Response(status_code=204)


def _refusal(problem: CarverError) -> Response:
    status = 503 if isinstance(problem, StoreTrouble) else 404 if isinstance(problem, NoSuchJob) else 409
    return Response(str(problem), status_code=status, media_type="text/plain")


@lru_cache(maxsize=8)
def _steps(
    text: str, asked: PlanAsked, logged: tuple[Logged, ...], roll: Roll, shop: Shop, rates: Rates
) -> dict[str, Any]:
    work = Work(job_of(text), shop)
    plan = work.plan(asked.order, roll, asked.skill, within=asked.within, only=asked.only, rates=rates, logged=logged)
    return bench_steps(work, plan, rates)
