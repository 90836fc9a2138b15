"""Records as documents of PBCore XML: collections in batches, or one document a record."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import cast

from crosswalk.errors import CannotContinue
from crosswalk.records import NAMESPACE, ROOTS, Asset, Collection, Instantiation, Record, shape
from crosswalk.standards.base import Document, WriteOptions
from crosswalk.standards.naming import Names, numbered
from crosswalk.standards.pbcore_compile import writer
from crosswalk.xmlio import FORBIDDEN, escape_attribute

DECLARATION = '<?xml version="1.0" encoding="UTF-8"?>\n'
# Bytes that XML forbids. The two forbidden characters beyond ASCII are looked for by themselves.
_FORBIDDEN_BYTES = bytes(byte for byte in range(32) if byte not in b"\t\n\r")
_ELEMENTS = {cls: name for name, cls in ROOTS.items()}


def identifier_of(record: Record) -> str:
    """The first identifier of a record, or "" where it has none.

    >>> from crosswalk.records import Identifier
    >>> identifier_of(Asset(identifiers=(Identifier("TDLN0423", source="Merrow"),)))
    'TDLN0423'
    """
    return record.identifiers[0].text if record.identifiers else ""


def write_record(record: Record) -> bytes:
    """One record as a document of its own, in UTF-8 with LF.

    Raises CannotContinue where a value holds a character that XML forbids, or embedded XML that is not well-formed.

    >>> from crosswalk.records import Text
    >>> print(write_record(Asset(asset_types=(Text("Episode"),))).decode())
    <?xml version="1.0" encoding="UTF-8"?>
    <pbcoreDescriptionDocument xmlns="http://www.pbcore.org/PBCore/PBCoreNamespace.html">
      <pbcoreAssetType>Episode</pbcoreAssetType>
    </pbcoreDescriptionDocument>
    <BLANKLINE>
    """
    out = [DECLARATION]
    cls = Instantiation if isinstance(record, Instantiation) else Asset
    writer(cls)(record, "", _ELEMENTS[cls], f' xmlns="{NAMESPACE}"', out)
    return _encoded("".join(out), record)


def problem_of(record: Record) -> str:
    r"""Why a record cannot be written as XML at all, or "": a character that XML forbids, or damaged embedded XML.

    >>> problem_of(Asset()), problem_of(Asset(source="\x00"))[:27]
    ('', 'U+0000 is forbidden in XML ')
    """
    try:
        write_record(record)
    except CannotContinue as error:
        return error.problem
    return ""


def write(records: Iterable[Record], options: WriteOptions) -> Iterator[Document]:
    """The records as documents: assets in collections of `options.batch`, or one a document; instantiations always
    one a document, since PBCore has no list of them. The documents keep the order of the records."""
    names = Names()
    for number, batch in enumerate(_batches(records, options), 1):
        if options.one_each or isinstance(batch[0], Instantiation):
            identifier = identifier_of(batch[0])
            yield Document(names.unique(identifier) + ".xml", write_record(batch[0]), (identifier,))
        else:
            yield _collection(cast("list[Asset]", batch), f"{numbered(options.stem, number)}.xml", options.collection)


def _batches(records: Iterable[Record], options: WriteOptions) -> Iterator[list[Record]]:
    """Records that go into one document together."""
    batch: list[Record] = []
    for record in records:
        alone = options.one_each or isinstance(record, Instantiation)
        if batch and (alone or len(batch) >= options.batch):
            yield batch
            batch = []
        if alone:
            yield [record]
        else:
            batch.append(record)
    if batch:
        yield batch


def _collection(assets: list[Asset], name: str, collection: Collection) -> Document:
    root = _ELEMENTS[Collection]
    pieces = [f'{DECLARATION}<{root} xmlns="{NAMESPACE}"{_attributes(collection)}>\n'.encode()]
    write_asset = writer(Asset)
    for asset in assets:
        out: list[str] = []
        write_asset(asset, "  ", _ELEMENTS[Asset], "", out)
        pieces.append(_encoded("".join(out), asset))
    pieces.append(f"</{root}>\n".encode())
    return Document(name, b"".join(pieces), tuple(identifier_of(asset) for asset in assets))


def _attributes(collection: Collection) -> str:
    pairs = ((attribute.name, getattr(collection, attribute.field)) for attribute in shape(Collection).attributes)
    return "".join(f' {name}="{escape_attribute(value)}"' for name, value in pairs if value is not None)


def _encoded(text: str, record: Record) -> bytes:
    """The text in UTF-8, once it is certain that it holds no character that XML forbids."""
    try:
        content = text.encode()
    except UnicodeEncodeError:
        raise _forbidden(text, record) from None
    beyond = not text.isascii() and (b"\xef\xbf\xbe" in content or b"\xef\xbf\xbf" in content)
    if beyond or len(content.translate(None, _FORBIDDEN_BYTES)) != len(content):
        raise _forbidden(text, record)
    return content


def _forbidden(text: str, record: Record) -> CannotContinue:
    found = FORBIDDEN.search(text)
    character = f"U+{ord(found.group()):04X}" if found else "a character"
    line = text.count("\n", 0, found.start()) if found else 0
    near = text.split("\n")[line].strip()
    problem = f"{character} is forbidden in XML (XML 1.0, 2.2), in {near[:80]!r}"
    return CannotContinue(identifier_of(record) or "record", problem, "clean the text first")
