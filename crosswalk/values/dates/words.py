"""The words of dates in English, German, French and Spanish, lower case and without accents. Data, kept whole."""

from __future__ import annotations

from typing import Final

_MONTHS: Final = """
january jan januar janner jan janvier janv enero ene
february feb febr februar feber fevrier fevr fev febrero
march mar marz maerz mrz mars marzo mar
april apr avril avr abril abr
may mai mayo
june jun juni juin junio
july jul juli juillet juil julio
august aug aout agosto ago
september sep sept septembre septiembre setiembre set
october oct oktober okt octobre octubre
november nov novembre noviembre
december dec dezember dez decembre diciembre dic
"""

MONTHS: Final[dict[str, int]] = {
    word: number for number, line in enumerate(_MONTHS.strip().splitlines(), 1) for word in line.split()
}

ROMAN: Final[dict[str, int]] = {
    word: number for number, word in enumerate("i ii iii iv v vi vii viii ix x xi xii".split(), 1)
}

# EDTF numbers the seasons 21 to 24 (ISO 8601-2:2019, 4.8).
SEASONS: Final[dict[str, int]] = {
    word: number
    for number, words in {
        21: "spring fruhling fruhjahr fruehling printemps primavera",
        22: "summer sommer ete verano",
        23: "fall autumn herbst automne otono",
        24: "winter hiver invierno",
    }.items()
    for word in words.split()
}

WEEKDAYS: Final[dict[str, int]] = {
    word: number
    for number, words in enumerate(
        (
            "monday mon montag lundi lunes",
            "tuesday tue tues dienstag mardi martes",
            "wednesday wed weds mittwoch mercredi miercoles",
            "thursday thu thur thurs donnerstag jeudi jueves",
            "friday fri freitag vendredi viernes",
            "saturday sat samstag sonnabend samedi sabado",
            "sunday sun sonntag dimanche domingo",
        )
    )
    for word in words.split()
}

# Words for "about"; the date gets "~".
ABOUT: Final[frozenset[str]] = frozenset(
    "circa ca c cca approx approximately approximate about abt around est estimated roughly near"
    " um etwa gegen ungefahr zirka vers env environ autour hacia alrededor aproximadamente aprox".split()
)

# Words for "perhaps"; the date gets "?".
PERHAPS: Final[frozenset[str]] = frozenset(
    "probably prob possibly poss perhaps maybe presumably presumed likely uncertain"
    " wahrscheinlich vermutlich vielleicht wohl probablement peut-etre probablemente quizas posiblemente".split()
)

# Words that open or close a span on one side.
BEFORE: Final[frozenset[str]] = frozenset("before pre vor avant antes prior by".split())
AFTER: Final[frozenset[str]] = frozenset("after post nach apres despues".split())
SINCE: Final[frozenset[str]] = frozenset("since seit ab depuis desde onwards onward from".split())
UNTIL: Final[frozenset[str]] = frozenset("until till til bis jusque jusqu hasta to".split())
NOW: Final[frozenset[str]] = frozenset("present now current ongoing today date heute presente actualidad".split())
BETWEEN: Final[frozenset[str]] = frozenset("between zwischen entre btw btwn bet".split())

RANGE: Final[frozenset[str]] = frozenset("to through thru until till til bis au a al hasta jusqu".split())
AND: Final[frozenset[str]] = frozenset("and und et y".split())
OR: Final[frozenset[str]] = frozenset("or oder ou o".split())

# Parts of a span that EDTF cannot name: a doubt, never a value.
VAGUE: Final[frozenset[str]] = frozenset(
    "early mid middle late later end beginning start turn first second half latter earlier"
    " anfang mitte ende fruhe spate debut milieu fin principios mediados finales comienzos inicios"
    " christmas xmas easter thanksgiving halloween weihnachten ostern noel paques navidad pascua".split()
)

# Words that say the writer did not know; a value beside them is a proposal.
UNSURE: Final[frozenset[str]] = frozenset(
    "unsure unknown unverified unconfirmed tbc tbd check verify guess not no wrong incorrect various mixed"
    " unbekannt unsicher inconnu inconnue incertain desconocido desconocida incierto".split()
)

# Words that stand between the parts of one date.
FILLER: Final[frozenset[str]] = frozenset(
    "the of on de del des d le la les el den dem der am an im in year years yr annee annees ano anos jahr jahre jahren".split()
)

# A date right after one of these is the date of the recording, even a bare year.
CUES: Final[frozenset[str]] = frozenset(
    "in recorded taped videotaped filmed shot aired broadcast dated date dates year produced made released recording"
    " tx air airdate transmitted transmission premiered rec made issued published created copyright c r"
    " aufgenommen aufnahme gesendet sendung datum jahr gedreht enregistre diffuse tourne date annee"
    " grabado emitido fecha ano filmado on".split()
)

# Whole texts that mean that no date is known (after punctuation and spaces are taken out).
NO_DATE: Final[frozenset[str]] = frozenset(
    "nd na none null nil unknown undated nodate notdated dateunknown unknowndate datenotknown notknown notavailable"
    " notapplicable unspecified notspecified notrecorded unavailable uncertain tbd tbc tba tk various variousdates"
    " dateunavailable nodategiven nodateavailable nodateknown yearunknown unknownyear"
    " sd sansdate ss sl sinfecha sf datedesconnue dateinconnue inconnu inconnue nondate nondatee fechadesconocida desconocido"
    " desconocida oj od ohnedatum ohnejahr undatiert unbekannt datumunbekannt unk ndate dateunk seenotes nodates"
    " missing blank empty".split()
)
