"""`deliver`: the main job. Records, the gate, documents for the public and for the house, and the account of it all."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import IO

import msgspec

from crosswalk.checks.index import RecordIndex
from crosswalk.checks.run import AnyProfile, load_profile, profiles
from crosswalk.delivery.folder import OutputFolder
from crosswalk.delivery.job import Job, Output, load_job
from crosswalk.delivery.job import Review as ReviewSpec
from crosswalk.errors import raise_all
from crosswalk.findings import Finding, Origin, finding
from crosswalk.ledger import Ledger
from crosswalk.mapping.assemble import Assembled
from crosswalk.mapping.store import RowStore
from crosswalk.pipeline.converting import (
    HELD,
    from_rows,
    held_list,
    open_run,
    rules,
    with_page,
    writable,
    write_options,
)
from crosswalk.pipeline.gather import find_mapping, gather, set_aside
from crosswalk.pipeline.going import Going, may_go
from crosswalk.pipeline.namesakes import Namesakes, identifiers
from crosswalk.pipeline.naming import missing
from crosswalk.pipeline.produce import INVALID, Item, checked, hold, name_of, produce
from crosswalk.pipeline.run import FindingLog, Options, Outcome, Run, steady_memory
from crosswalk.pipeline.targets import refuse_overwriting, refuse_within
from crosswalk.records import Asset, Collection
from crosswalk.rights.review import Line, Review, Status, read_review
from crosswalk.sheets import Kind, ReadOptions, Row, Sheet, open_sheets, sheet_names
from crosswalk.sheets.dress import STRUCK
from crosswalk.sheets.wanted import wanted
from crosswalk.standards.base import WriteOptions
from crosswalk.tomlio import complaint
from crosswalk.values.folding import fold
from crosswalk.writing import SHOWN

LOOKS = frozenset({STRUCK})  # what the review is looked at for


def deliver(job_path: str | Path, options: Options) -> Outcome:
    """Runs a job: what is cleared goes into the outputs for the public, everything into those for the house, and a list
    says what is held and why.

    Raises `CannotContinue` as `convert` does; nothing is put in place then.
    """
    job = load_job(job_path)
    raise_all(missing(job))
    refuse_within(Path(options.out), (), [options.losses])
    refuse_overwriting([options.losses] if options.losses else (), (), [job_path, *_named(job)])
    if job.decisions:
        options = msgspec.structs.replace(options, decisions=str(job.folder / job.decisions))
    public = [output for output in job.output if output.audience == "public"]
    house = [output for output in job.output if output.audience == "house"]
    with steady_memory(), ExitStack() as stack:
        folder = stack.enter_context(OutputFolder(Path(options.out)))
        run = open_run(options, folder, stack, is_sheet=True)
        spools = _Spools(stack, public=bool(public[1:]), house=bool(house))
        items = _through_the_gate(job, run, stack, spools)
        _first(items, public, job, folder, run)
        for output in public[1:]:
            _again(spools.public, output, job, folder, run)
        for output in house:
            _again(spools.house, output, job, folder, run)
        folder.write(HELD, held_list(run).encode("utf-8", SHOWN))
        return with_page(run.finish(is_sheet=True), job.title, folder)


def _named(job: Job) -> Iterator[Path]:
    """The files that a job names."""
    for sheets in job.sheets:
        yield job.folder / sheets.file
        yield from (find_mapping(name, job.folder) for name in sheets.mapping)
    review = job.review.file if job.review is not None else ""
    yield from (job.folder / name for name in (review, job.decisions, job.profile) if name)


def _first(items: Iterator[Item], public: list[Output], job: Job, folder: OutputFolder, run: Run) -> None:
    """The first output for the public decides what is delivered: what its schema refuses is held everywhere."""
    if not public:
        for item in items:
            hold(item.record, item.rows, "no public output", "the job has no output for the public", run)
        return
    output = public[0]
    produce(items, writable(output.standard), _options(output, job, run), folder, run, output.folder + "/")


def _again(spool: IO[bytes], output: Output, job: Job, folder: OutputFolder, run: Run) -> None:
    """A further output, from the records that were kept on the way. It takes no part in the accounts.

    What the first output for the public refused reaches no other one for the public. In the house a record stands as
    long as the schema of that output takes it; the findings say where it does not."""
    public = output.audience == "public"
    held = {one.record for one in run.outcome.held if one.why == INVALID} if public else set()
    silent = Run(run.options, Ledger(), FindingLog())
    items = (Item(asset) for asset in _unspooled(spool) if name_of(asset) not in held)
    produce(items, writable(output.standard), _options(output, job, silent), folder, silent, output.folder + "/")
    run.outcome.documents += silent.outcome.documents
    run.outcome.losses |= silent.outcome.losses
    run.log.add(_placed(one, output.folder) for one in silent.log.kept)


def _placed(found: Finding, folder: str) -> Finding:
    """A finding about a record in one output, under the name of that output."""
    return found if found.origin.file else msgspec.structs.replace(found, origin=_in(found.origin, folder))


def _in(origin: Origin, folder: str) -> Origin:
    return msgspec.structs.replace(origin, file=folder, line=0, column=0)  # lines of a trial document help nobody


def _options(output: Output, job: Job, run: Run) -> WriteOptions:
    collection = Collection(collection_title=job.collection_title or job.title, collection_source=job.holder)
    plain = write_options(run.options, run)
    return msgspec.structs.replace(
        plain, one_each=output.one_each, batch=output.batch, collection=collection, base_uri=job.base_uri
    )


def _through_the_gate(job: Job, run: Run, stack: ExitStack, spools: _Spools) -> Iterator[Item]:
    store = RowStore()
    stack.callback(store.close)
    review = _review(job, job.review, run) if job.review else Review({})
    files = [(job.folder / sheets.file, [find_mapping(m, job.folder) for m in sheets.mapping]) for sheets in job.sheets]
    sources = gather(files, store, run)
    profile = _profile(job)
    namesakes = Namesakes(review)
    going = Going(stack.enter_context(_temporary()), sources, namesakes)
    ruled: set[str] = set()
    index = RecordIndex()
    records = namesakes.passing(spools.passing(from_rows(sources, store.groups())))
    for assembled in checked(records, rules(), run, index):
        names = identifiers(assembled.asset)
        ruled.update(map(fold, names))
        ruling = review.of(names)
        if ruling.status is not Status.OPEN:
            why, cell = ruling.status.value, ruling.decided_in
            hold(assembled.asset, assembled.rows, why, ruling.reason, run, cell)
        elif may_go(assembled, review.is_open, profile, run):
            going.add(assembled)
    run.log.add(index.findings())
    _report_strays(review, ruled, run)
    for item in going.items(run, review.astray(ruled)):
        assert isinstance(item.record, Asset)
        spools.keep_for_public(item.record)
        yield item


def _profile(job: Job) -> AnyProfile | None:
    """What the receiving party requires: a shipped profile by its name, or a file beside the job."""
    if not job.profile:
        return None
    shipped = {path.stem for path in profiles()}
    return load_profile(job.profile if job.profile in shipped else str(job.folder / job.profile))


def _report_strays(review: Review, ruled: set[str], run: Run) -> None:
    held = {fold(one.record) for one in run.outcome.held}
    for key, ruling in review.rulings.items():
        if key not in ruled and key not in held:
            message = f'the review decides on "{key.upper()}", which no sheet describes'
            run.log.add([finding("RT03", ruling.place, message, value=key.upper())])


def _review(job: Job, spec: ReviewSpec, run: Run) -> Review:
    path = job.folder / spec.file
    known = frozenset(map(fold, filter(None, (spec.asset, spec.decision, spec.reason))))
    names = sheet_names(path)
    in_workbook = names != [""]
    asked = (spec.sheet,) if spec.sheet else ()
    options = ReadOptions(known_headings=known, sheets=asked, marks=in_workbook, looks=LOOKS)
    if in_workbook and not any(wanted(name, options) for name in names):
        problem, step = f'{spec.file} has no sheet "{spec.sheet}"', f"its sheets are: {', '.join(names)}"
        raise complaint(job.path, spec.sheet, problem, step, "review")
    sheets = open_sheets(path, options)
    run.also_read.add((str(path.resolve()), sheets[0].name))
    words = {Status.OPEN: spec.open, Status.IN_HOUSE: spec.in_house, Status.HOLD: spec.hold}
    findings: list[Finding] = []
    review = read_review(_lines(sheets[0], job, spec, run), words, findings)
    run.log.add([*sheets[0].findings, *findings])  # those of the sheet are complete once its rows were read
    return review


def _lines(sheet: Sheet, job: Job, spec: ReviewSpec, run: Run) -> Iterator[Line]:
    index = {fold(heading.text): heading.index for heading in sheet.headings}
    missing = [name for name in (spec.asset, spec.decision) if fold(name) not in index]
    if missing:
        found = ", ".join(heading.text for heading in sheet.headings)
        problem = f'{spec.file} has no column "{missing[0]}"'
        raise complaint(job.path, missing[0], problem, f"headings found: {found}", "review")
    asset, decision = index[fold(spec.asset)], index[fold(spec.decision)]
    reason = index.get(fold(spec.reason)) if spec.reason else None
    for row in set_aside(sheet, "rights review: it decides, and is not carried", run):
        texts = [*row.texts, *[""] * (len(sheet.headings) - len(row.texts))]
        if row.role.value == "data" and not texts[asset].strip() and texts[decision].strip():
            place = Origin(file=Path(sheet.file).name, cell=sheet.address(row.number, decision))
            message = f'a row of the review names no asset, and decides "{texts[decision]}"'
            run.log.add([finding("RT03", place, message, value=texts[decision])])
        if row.role.value == "data" and texts[asset].strip():
            place = Origin(file=Path(sheet.file).name, cell=sheet.address(row.number, decision))
            if row.moved:  # what stands under the decision may be something else
                yield Line(texts[asset].strip(), "", f"the review's row cannot be relied on ({row.moved})", place)
                continue
            why = texts[reason] if reason is not None else ""
            cells = (asset, decision) if reason is None else (asset, decision, reason)
            run.log.add(_other_notes(row, cells, sheet))
            yield Line(texts[asset].strip(), texts[decision], why, place, _mark(row, cells, sheet))


def _other_notes(row: Row, cells: tuple[int, ...], sheet: Sheet) -> Iterator[Finding]:
    for index, mark in row.marks.items():
        if mark.note and index not in cells:
            place = Origin(file=Path(sheet.file).name, cell=sheet.address(row.number, index))
            yield finding("SH24", place, f'a note in the review that decides nothing: "{mark.note[:200]}"')


def _mark(row: Row, cells: tuple[int, ...], sheet: Sheet) -> str:
    """Why a decision of the review cannot be relied on, "" where it can."""
    if any(row.kinds.get(index) in (Kind.PART_STRUCK, Kind.COVERED) for index in cells):
        return "the decision is struck out in part, or hidden"
    marks = {index: row.marks[index] for index in cells if index in row.marks}
    if any(mark.struck for mark in marks.values()):
        return "the decision is struck out"
    for index, mark in marks.items():
        if mark.note:
            return f'the note on {sheet.address(row.number, index)} may change the decision: "{mark.note[:200]}"'
    return ""


class _Spools:
    """Records set by on disk for further outputs, so that memory stays flat however many there are."""

    def __init__(self, stack: ExitStack, public: bool, house: bool) -> None:
        self.public, self.house = (stack.enter_context(_temporary()) for _ in range(2))
        self._public, self._house = public, house
        self._encode = msgspec.msgpack.Encoder().encode

    def keep_for_public(self, asset: Asset) -> None:
        if self._public:
            self._write(self.public, asset)

    def passing(self, records: Iterable[Assembled]) -> Iterator[Assembled]:
        """The same records, each kept for the house as it passes, whatever comes of it for the public."""
        for assembled in records:
            if self._house:
                self._write(self.house, assembled.asset)
            yield assembled

    def _write(self, spool: IO[bytes], asset: Asset) -> None:
        packed = self._encode(asset)
        spool.write(len(packed).to_bytes(4, "big") + packed)


def _temporary() -> IO[bytes]:
    return tempfile.TemporaryFile(prefix="crosswalk-")


def _unspooled(spool: IO[bytes]) -> Iterable[Asset]:
    decode = msgspec.msgpack.Decoder(Asset).decode
    spool.seek(0)
    while size := spool.read(4):
        yield decode(spool.read(int.from_bytes(size, "big")))
