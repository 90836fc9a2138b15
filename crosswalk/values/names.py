"""Names of persons to one form, `Surname, Given`, without damage; organisations stay as they are."""

from __future__ import annotations

import re
from functools import lru_cache

import msgspec

from crosswalk.values.name_private import is_private, more_than_a_name, without_life
from crosswalk.values.name_words import is_organisation, key, name_words
from crosswalk.values.reading import Context, Doubt, How, Reading, refused
from crosswalk.vocabularies import load

_ROLE = re.compile(r"\s*[(\[]([^()\[\]]{1,60})[)\]]\s*$")
_OFFICE = frozenset({"of", "the", "née", "nee", "né", "geb.", "geborene"})  # no given name and surname to exchange
_RULERS = frozenset(
    {
        *("king", "queen", "pope", "prince", "emperor", "könig", "königin", "papst", "kaiser", "rey", "reina", "papa"),
        *("roi", "reine", "pape"),
    }
)
_REGNAL = re.compile(r"(?=[IVX])X{0,2}(?:IX|IV|V?I{0,3})")  # John XXIII
_BETWEEN = re.compile(r"[;|\n\r\t]")
_PAIR = re.compile(r"\s+(?:and|und|et|y|with|&|\+)\s+|\s*&\s*|\s+/\s+|(?<=[a-z])/(?=[A-Z])")
_LETTER = re.compile(r"[^\W\d_]")
_OTHERS = re.compile(r",?\s+(?:u\.\s*a\.|and others|und andere|y otros|et autres|and friends)\s*$", re.IGNORECASE)
_COMPANY = re.compile(
    r"\s*(?:\+|\b(?:and|with|und|mit)\b|&)\s*(?:crew|cast|team|guests?|staff|others|audience)\s*$", re.IGNORECASE
)
_AS = re.compile(r"\s+(?:as|als)\s+(?=[^\W\d_])")
_MADE_BY = re.compile(r"((?:[^\W\d_]+ ){1,2}(?:by|with)) (?=\S)", re.IGNORECASE)
_APART = re.compile(r"/|\s+(?:and|und|et)\s+")
_INITIALS = re.compile(r"(?:[^\W\d_]\.-?){1,4}|[^\W\d_a-z]")
_ACRONYM = 4  # letters
_LONGEST = 300


def read_name(text: str, context: Context) -> Reading:
    """A name in the form `Surname, Given`. Honorifics, roles and notes beside it go to `also`; several names are a
    doubt, with the names as suggestions (see `split_names`).

    >>> read_name("Anna van der Meer", Context()).value, read_name("Kestrel Transfer House", Context()).value
    ('van der Meer, Anna', 'Kestrel Transfer House')
    """
    return _read(text)


@lru_cache(maxsize=16384)
def _read(text: str) -> Reading:
    wording = " ".join(text.split())
    if not _LETTER.search(wording) or len(wording) > _LONGEST:
        return refused("NM01", f'"{wording[:40]}" is no name')
    parts = split_names(text)
    if len(parts) > 1:
        return _several(wording, parts)
    apart = _shared_surname(wording) or _by_stroke(wording)
    return _several(wording, apart) if apart else _single(wording)


def _several(wording: str, parts: tuple[str, ...]) -> Reading:
    each = tuple(_single(" ".join(part.split())).value or part for part in parts)
    return Reading(wording, How.EXACT, (Doubt("NM02", f"{len(parts)} names in one cell", each),))


def _shared_surname(wording: str) -> tuple[str, ...]:
    """`Anna and Peter Vale` as its two names, which nobody may be given without being asked; else nothing."""
    pieces = [piece for piece in _PAIR.split(wording) if piece]
    if len(pieces) < 2 or is_organisation(wording) or "," in wording:
        return ()
    given, surname = pieces[:-1], pieces[-1].rpartition(" ")[2]
    if any(" " in piece or not piece.isalpha() for piece in given) or " " not in pieces[-1]:
        return ()
    return (*(f"{piece} {surname}" for piece in given), pieces[-1])


def _by_stroke(wording: str) -> tuple[str, ...]:
    """`Osk/Vane`, `Osk and Vane` as the two names it rather is; else nothing. Letters such as `KQM/TRL` may be one
    house's."""
    pieces = _APART.split(wording)
    if len(pieces) < 2 or is_organisation(wording):
        return ()
    words = [piece.strip() for piece in pieces]
    named = all(len(word) > 1 and word.isalpha() and word[0].isupper() for word in words)
    return () if not named or all(word.isupper() and len(word) <= _ACRONYM for word in words) else tuple(words)


def split_names(text: str) -> tuple[str, ...]:
    """The names of a cell, one each, as they are written. A comma between surname and given name does not part them.

    >>> split_names("Vale, Anna; Corin Dray"), split_names("Anna Vale, Corin Dray and Ida Moss")
    (('Vale, Anna', 'Corin Dray'), ('Anna Vale', 'Corin Dray', 'Ida Moss'))
    """
    if len(text) > 5000:
        return (text,)
    strong = [piece.strip(" ,") for piece in _BETWEEN.split(text) if piece.replace(",", " ").split()]
    return tuple(name for piece in strong for name in _by_pairs(" ".join(piece.split())))


def _by_pairs(text: str) -> list[str]:
    """The names that `and`, `&` or commas join, where every part looks like a person."""
    pieces = [piece.strip(" ,") for piece in _PAIR.split(text) if piece.strip(" ,")]
    spread = [part for piece in pieces for part in _by_commas(piece)]
    if len(spread) > 1 and all(_personlike(part) for part in spread):
        return spread
    return [text.strip()]


def _by_commas(text: str) -> list[str]:
    """`Anna Vale, Corin Dray` is two names, `Vale, Anna` is one."""
    pieces = [piece.strip() for piece in text.split(",") if piece.strip()]
    whole = [
        piece for piece in pieces if len(piece.split()) > 1 and key(piece.split()[0]) not in name_words().particles
    ]
    return pieces if len(pieces) > 1 and len(whole) == len(pieces) else [text]


def _personlike(text: str) -> bool:
    words = text.replace(",", " ").split()
    return 2 <= len(words) <= 6 and not is_organisation(text) and not any(c.isdigit() for c in text)


def _single(wording: str) -> Reading:
    if key(wording.split()[0]) in name_words().nobody and len(wording.split()) < 4:
        return refused("NM03", f'"{wording[:40]}" names nobody')
    name, also = _without_others(wording)
    bare, life = without_life(name)
    doubted = _more_than_a_name(name, bare, also)
    if doubted is not None:
        return doubted
    if _may_be_a_surname(name):
        inverted = ", ".join(reversed(name.split()))
        return Reading(
            name, How.EXACT, (Doubt("NM05", f'"{name}" may be a person or not', (inverted, name)),), also=also
        )
    if is_organisation(name):
        return _kept(wording, name, (*also, ("kind", "organisation")))
    return _with_life(wording, _person(wording, bare, also), life)


def _more_than_a_name(name: str, bare: str, also: tuple[tuple[str, str], ...]) -> Reading | None:
    """The refusal of what is certainly private beside a name, the doubt about what may be; None where there is none."""
    notes = " ".join(text for kind, text in also if kind != "role")
    message = f'"{name[:40]}" holds more than a name'
    if is_private(f"{bare} {notes}"):
        return refused("NM04", message)
    unsure = "?" in name or " + " in name or re.search(r"\bet al\b", name)
    if unsure or more_than_a_name(bare, notes):
        return Reading(name, How.EXACT, (Doubt("NM04", message),), also=also)
    return None


def _with_life(wording: str, reading: Reading, life: str) -> Reading:
    """The reading of a name with the life dates behind it, as they are written."""
    if not life or reading.value is None:
        return reading
    value = f"{reading.value}{' ' if life[0] in '([' else ', '}{life}"
    how, rule = (How.EXACT, "") if value == wording else (reading.how, reading.rule)
    return msgspec.structs.replace(reading, value=value, how=how, rule=rule)


def _may_be_a_surname(name: str) -> bool:
    """Whether `Anna Temple` is a person or a temple is anyone's guess."""
    words = name.split()
    return len(words) == 2 and key(words[1]) in name_words().surnames_too and not is_organisation(words[0])


def _without_others(wording: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    """The name and role of the one who is named, and the words for others who are not."""
    more = _OTHERS.search(wording) or _company(wording)
    name, also = _without_role(wording[: more.start()] if more else wording)
    name, before = _without_lead_in(name)
    also = (*also, *before)
    return (name, (*also, ("others", more[0].strip(" ,")))) if more else (name, also)


def _company(wording: str) -> re.Match[str] | None:
    """`+ crew` behind a person; `Cast and crew` is no person with others."""
    more = _COMPANY.search(wording)
    return more if more and _personlike(wording[: more.start()]) else None


def _without_role(wording: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    """The name, and the role or note that stands beside it in brackets, before a colon, or behind a comma."""
    noted = _ROLE.search(wording)
    if noted and noted.start() and not any(c.isdigit() for c in noted[1]):
        return wording[: noted.start()].strip(), (_role(noted[1]) or ("note", noted[1]),)
    before, colon, after = wording.partition(":")
    if colon and after.strip() and (role := _role(before)):
        return after.strip(), (role,)
    name, comma, last = wording.rpartition(", ")
    if comma and " " in name and "," not in name and (role := _role(last)):
        return name, (role,)
    return wording, ()


def _without_lead_in(wording: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    """`with Mina Osk`, `narrated by Mina Osk`, `Mina Osk as Hamlet`: the name, and the words that are none."""
    made_by = _MADE_BY.match(wording)
    if made_by and (role := _role(made_by[1])):
        return wording[made_by.end() :], (role,)
    first, _, rest = wording.partition(" ")
    if rest and first.rstrip(".:") in name_words().lead_ins:
        return rest, (("note", first),)
    played = _AS.search(wording)
    if played and _personlike(wording[: played.start()]):
        return wording[: played.start()], (("note", wording[played.start() :].strip()),)
    return wording, ()


def _role(text: str) -> tuple[str, str] | None:
    """The published role that a wording names, as what the text says besides; None where it names none."""
    role = load("roles").find(text)
    return ("role", role.name) if role else None


def _kept(wording: str, name: str, also: tuple[tuple[str, str], ...]) -> Reading:
    how = How.EXACT if name == wording else How.PATTERN
    return Reading(name, how, rule="" if name == wording else "odd spaces or a role taken off", also=also)


def _person(wording: str, name: str, also: tuple[tuple[str, str], ...]) -> Reading:
    first, comma, rest = name.partition(",")
    if comma and " " in first and key(rest.strip()) in name_words().suffixes:
        name, comma = f"{first} {rest.strip()}", ""
    words = name.split()
    if comma:
        return _cased(_kept(wording, re.sub(r"\s*,\s*", ", ", name).strip(" ,"), also))
    if len(words) == 1 or not _OFFICE.isdisjoint(words) or _is_regnal(words):
        return _kept(wording, name, also)
    titles = _leading(words)
    suffixes = _trailing(words[len(titles) :])
    core = words[len(titles) : len(words) - len(suffixes)]
    if len(core) < 2:
        return _kept(wording, name, also)
    return _cased(_inverted(core, suffixes, (*also, *(("title", title) for title in titles))))


def _is_regnal(words: list[str]) -> bool:
    """`John XXIII`, `King George V`; not `Peter Marlow III`."""
    ruler = len(words) == 2 or (len(words) == 3 and words[0].lower() in _RULERS)
    return ruler and _REGNAL.fullmatch(words[-1]) is not None


def _inverted(core: list[str], suffixes: list[str], also: tuple[tuple[str, str], ...]) -> Reading:
    capitals, initials = _capitals(core), _initials(core)
    at = capitals or initials
    if at:
        value = f"{' '.join(core[:at])}, {' '.join(core[at:])}"
        rule = "surname written in capitals" if capitals else "initials behind the surname"
    else:
        at = _surname_start(core)
        value, rule = f"{' '.join(core[at:])}, {' '.join(core[:at])}", "given name and surname exchanged"
    value = ", ".join([value, *suffixes])
    return Reading(value, How.PATTERN, () if initials else _doubts(core, value), rule, also)


def _capitals(core: list[str]) -> int:
    """How many words in capitals open the name and are its surname: `DE GROOTE Jan`. 0: none."""
    at = next((at for at, word in enumerate(core) if not word.isupper() or _INITIALS.fullmatch(word)), len(core))
    longest = max((len(word) for word in core[:at]), default=0)
    led = at > 1 and key(core[0]) in name_words().particles  # VAN DEN OSK Mina
    return at if (longest > 3 or led) and at < len(core) and not core[-1].isupper() else 0


def _initials(core: list[str]) -> int:
    """How many words before the initials that end the name are its surname: `Osk M. J.`, `van der Meer A.`. 0: none."""
    at = len(core)
    while at and _INITIALS.fullmatch(core[at - 1]):
        at -= 1
    surname = core[:at]
    particles = all(key(word) in name_words().particles for word in surname[:-1])
    return at if 0 < at < len(core) and particles and len(surname[-1]) > 1 else 0


def _cased(reading: Reading) -> Reading:
    """The reading with words in capitals, or a name without any, in the usual case; a doubt where Mc and the like
    leave it open."""
    value = reading.value or ""
    surname, _, given = value.partition(", ")
    if not (value.isupper() or value.islower() or (surname.isupper() and len(surname) > 3)) or len(given) < 2:
        return reading
    if not (value.isupper() or value.islower()) and key(surname.split()[0]) in name_words().particles:
        return reading  # DE GROOTE, Jan: de Groote or De Groote
    usual = " ".join(_usual(word) for word in value.split())
    doubts = reading.doubts
    if re.match(r"(?:Mc|Mac|De|La|Le|Fitz)[a-z]{3}", usual):
        doubts = (*doubts, Doubt("NM05", f'"{value}" may have a capital inside', (usual,)))
    return Reading(usual, How.PATTERN, doubts, "capitals", reading.also)


def _usual(word: str) -> str:
    if word.isalpha() and key(word) in name_words().particles:
        return word.lower()
    if key(word) in ("ii", "iii", "iv"):
        return word.upper()
    return re.sub(r"[^\W\d_]+", lambda found: found[0].capitalize(), word)


def _doubts(core: list[str], value: str) -> tuple[Doubt, ...]:
    """Two surnames in the Spanish manner, or a long row of names, may be parted elsewhere."""
    spanish = len(core) > 2 and (core[-2].lower().endswith(("ez", "ía", "ós")) or "y" in core)
    if not spanish and len(core) < 5:
        return ()
    other = f"{' '.join(core[-2:])}, {' '.join(core[:-2])}"
    return (Doubt("NM05", f'"{" ".join(core)}" may have two surnames', (value, other)),)


def _surname_start(core: list[str]) -> int:
    """Where the surname starts: the last word, with the particles before it."""
    at = len(core) - 1
    while at > 1 and key(core[at - 1]) in name_words().particles and _is_particle(core[at - 1], core[-1]):
        at -= 1
    if at > 1 and core[at - 1] in name_words().capital_particles:
        at -= 1
    return at


def _is_particle(word: str, surname: str) -> bool:
    """Whether its case lets a word be a particle: `van der Meer`, `VAN DER MEER`; not the E. of `Anna E. VALE`."""
    return word[0].islower() or (surname.isupper() and word.isupper() and word.isalpha() and len(word) > 1)


def _leading(words: list[str]) -> list[str]:
    taken: list[str] = []
    for word in words[:-1]:
        if key(word) not in name_words().honorifics:
            break
        taken.append(word)
    return taken


def _trailing(words: list[str]) -> list[str]:
    taken: list[str] = []
    for word in reversed(words[2:]):
        if key(word) not in name_words().suffixes:
            break
        taken.insert(0, word)
    return taken
