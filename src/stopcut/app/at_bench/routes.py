"""The addresses of the Bench section: the cuts, and what a page at the bench sends when it can."""

from __future__ import annotations

import datetime
from functools import lru_cache
from threading import Lock
from typing import Annotated, Any, Literal

from fastapi import FastAPI, Response
from pydantic import BaseModel, ConfigDict, Field
from starlette.concurrency import run_in_threadpool

from stopcut.app.at_bench.steps import bench_steps
from stopcut.app.open_jobs import OpenJobs, job_of
from stopcut.bench.minutes import Logged, Skill
from stopcut.bench.order import Way
from stopcut.errors import CarverError
from stopcut.shop.rates import read_times
from stopcut.shop.roll import read_roll
from stopcut.shop.shop_file import read_shop
from stopcut.store import Store
from stopcut.store.values import LoggedMinutes
from stopcut.work import Work

__all__ = ["serve_bench", "steps_of"]

_Id = Annotated[str, Field(pattern=r"^[0-9a-f]{8,64}$")]
_Mark = Annotated[str, Field(pattern=r"^[0-9]{1,6}\.[0-9]{1,6}\.[0-9a-f]{18}$")]
_Ms = Annotated[int, Field(ge=0, le=253_402_300_799_000)]  # to the end of the year 9999, after which there are no dates
_Minutes = Annotated[float, Field(gt=0, le=100_000, allow_inf_nan=False)]


class _Tick(BaseModel):
    model_config = ConfigDict(extra="forbid")
    what: Literal["tick"]
    id: _Id
    mark: _Mark
    done: bool
    at_ms: _Ms


class _Timed(BaseModel):
    model_config = ConfigDict(extra="forbid")
    what: Literal["minutes"]
    id: _Id
    letter: Annotated[str, Field(pattern=r"^[0-9]{1,6}:[0-9]{1,6}$")]
    reckoned: _Minutes
    taken: _Minutes
    at_ms: _Ms


def serve_bench(api: FastAPI, jobs: OpenJobs) -> None:
    """Put the addresses on the server."""
    store = jobs.store

    @api.get("/job/{job_id}/bench/{number}/cuts.json")
    async def cuts(job_id: str, number: int, order: Way = "middle", skill: Skill = "practised") -> Any:
        def told() -> dict[str, Any]:
            return {**steps_of(store, job_id, number, order, skill), "done": sorted(store.ticked(job_id))}

        try:
            return await run_in_threadpool(told)
        except CarverError as problem:
            return Response(str(problem), status_code=409, media_type="text/plain")

    @api.post("/job/{job_id}/bench/ticks")
    async def ticks(job_id: str, sent: Annotated[list[_Tick], Field(max_length=500)]) -> Response:
        def kept() -> None:
            for one in sent:
                store.tick(job_id, one.mark, one.done, one.at_ms, one.id)

        return await _kept(kept)

    @api.post("/job/{job_id}/bench/minutes")
    async def minutes(job_id: str, sent: Annotated[list[_Timed], Field(max_length=500)]) -> Response:
        def kept() -> None:
            for one in sent:
                line, letter = (int(part) for part in one.letter.split(":"))
                at = datetime.datetime.fromtimestamp(one.at_ms / 1000, datetime.UTC)
                store.log_minutes(job_id, LoggedMinutes(one.id, line, letter, one.reckoned, one.taken, at))

        return await _kept(kept)


def steps_of(store: Store, job_id: str, number: int, order: Way, skill: Skill) -> dict[str, Any]:
    """What a page at the bench is told of a revision; whoever asks for the same meanwhile waits. Raises CarverError."""
    logged = tuple((one.reckoned_min, one.taken_min) for one in store.logged_minutes())
    text = store.text_at(job_id, number)
    with _planning:
        return _steps(text, order, skill, logged)


_planning = Lock()  # a plan is long work: nobody is to make one twice


async def _kept(keep: Any) -> Response:
    try:
        await run_in_threadpool(keep)
    except CarverError as problem:
        return Response(str(problem), status_code=409, media_type="text/plain")
    return Response(status_code=204)


@lru_cache(maxsize=8)
def _steps(text: str, order: Way, skill: Skill, logged: tuple[tuple[float, float], ...]) -> dict[str, Any]:
    work = Work(job_of(text), read_shop())
    times = read_times()
    timed = (*times.logged, *(Logged(reckoned, taken) for reckoned, taken in logged))
    plan = work.plan(order, read_roll(), skill, rates=times.rates, logged=timed)
    return bench_steps(work, plan, times.rates)
