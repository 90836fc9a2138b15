"""The words of dates in English, German, French and Spanish, lower case and without accents. Data, kept whole."""

from __future__ import annotations

from typing import Final


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


_MONTHS: Final = """
january jan gennaio janeiro januari januar janner jan janvier janv enero ene
february feb febr febbraio fevereiro februari februar feber fevrier fevr fev febrero
march mar maart marco marts marz maerz mrz mars marzo mar
april apr abril aprile avril avr abril abr
may mai mayo maggio maio mei maj
june jun giugno junho juni juin junio
july jul luglio julho juli juillet juil julio
august aug augustus augusti agosto aout agosto ago
september sep sept settembre setembro septembre septiembre setiembre set
october oct ottobre outubro oktober okt octobre octubre
november nov novembro novembre noviembre
december dec dezember dez decembre diciembre dic dezembro dicembre
"""

MONTHS: Final[dict[str, int]] = {
    word: number for number, line in enumerate(_MONTHS.strip().splitlines(), 1) for word in line.split()
}

_ROMAN: Final = "i ii iii iv v vi vii viii ix x xi xii"
ROMAN: Final[dict[str, int]] = {word: number for number, word in enumerate(_ROMAN.split(), 1)}

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

MONTH: Final = "|".join(sorted((*MONTHS, *SEASONS), reverse=True))  # any of them, in a pattern

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
ABOUT: Final[frozenset[str]] = _words(
    """
    circa ca c cca cir circ crica approx approximately approximate about abt around est estimated roughly near
    um etwa gegen ungefahr zirka vers env environ autour hacia alrededor aproximadamente aprox
    """
)

# Words for "perhaps"; the date gets "?".
PERHAPS: Final[frozenset[str]] = _words(
    """
    probably prob possibly poss perhaps maybe presumably presumed likely uncertain wahrscheinlich vermutlich
    probable vermutl wahrsch viell vielleicht wohl probablement peut-etre probablemente quizas posiblemente
    """
)

# Words that open or close a span on one side.
BEFORE: Final[frozenset[str]] = _words("before pre ante vor avant antes prior earlier")
AFTER: Final[frozenset[str]] = _words("after post nach apres despues later")
AT_LATEST: Final[frozenset[str]] = _words("by atlatest spatestens")
AT_EARLIEST: Final[frozenset[str]] = _words("atearliest fruhestens")
NOT: Final[frozenset[str]] = _words("not no nicht pas")
SINCE: Final[frozenset[str]] = _words("since seit ab depuis desde onwards onward from")
UNTIL: Final[frozenset[str]] = _words("until till til bis jusque jusqu hasta to")
NOW: Final[frozenset[str]] = _words(
    """
    present now current ongoing today date heute presente actualidad
    """
)
BETWEEN: Final[frozenset[str]] = _words("between zwischen entre btw btwn bet betw")

RANGE: Final[frozenset[str]] = _words(
    """
    to through thru until till til bis au a al hasta jusqu
    """
)
AND: Final[frozenset[str]] = _words("and und u et y")
OR: Final[frozenset[str]] = _words("or oder ou o")

# Feasts: with a year alone a doubt, beside a day no more than a name.
FEASTS: Final[frozenset[str]] = _words(
    """
    newyear christmas xmas easter thanksgiving halloween weihnachten ostern noel paques navidad pascua
    """
)

# A figure behind one of these may be part of a date.
LINKS: Final[frozenset[str]] = RANGE | AND | OR | ABOUT | PERHAPS

# Parts of a span that EDTF cannot name: a doubt, never a value.
VAGUE: Final[frozenset[str]] = _words(
    """
    early mid middle late later end beginning start turn first second half latter earlier anfang mitte ende fruhe
    spate debut milieu fin principios mediados finales comienzos inicios week weekend quarter mi fines
    fy fiscal ejercicio exercice geschaftsjahr
    """
)

# Words before a decade, and the decades as words.
DECADE_LEADS: Final[frozenset[str]] = _words("annees anos decada decade decades decenio decennie")
DECADE_WORDS: Final[dict[str, int]] = {
    word: number
    for number, words in {
        20: "twenties zwanziger",
        30: "thirties dreissiger dreiziger",
        40: "forties fourties vierziger",
        50: "fifties funfziger",
        60: "sixties sechziger",
        70: "seventies siebziger",
        80: "eighties achtziger",
        90: "nineties neunziger",
    }.items()
    for word in words.split()
}
DECADE_TENS: Final[dict[str, int]] = {
    word: number
    for number, words in {
        20: "vingt veinte",
        30: "trente treinta",
        40: "quarante cuarenta",
        50: "cinquante cincuenta",
        60: "soixante sesenta",
        70: "setenta",
        80: "ochenta",
        90: "noventa",
    }.items()
    for word in words.split()
}

# The published PBCore date types that a word beside the date names.
DATE_TYPES: Final[dict[str, str]] = {
    word: kind
    for kind, words in {
        "broadcast": "bcast txd ausgestrahlt erstsendung erstausstrahlung diffusion emision emitida "
        "aired broadcast air airdate tx transmitted transmission premiered gesendet sendung diffuse "
        "emitido",
        "created": "recorded taped videotaped filmed shot recording rec made created aufgenommen aufnahme "
        "gedreht enregistre tourne grabado filmado",
        "copyright": "copyright",
        "issued": "issued",
        "published": "published",
        "released": "released",
        "edited": "edited",
        "dubbed": "dubbed",
        "transferred": "transferred",
        "digitized": "digitized digitised",
        "performed": "performed",
    }.items()
    for word in words.split()
}

# Month words that are more often something else in a text.
OFTEN_NO_MONTH: Final[frozenset[str]] = _words("may march mar set mai ago mars jan abril")

# Words that say the writer did not know; a value beside them is a proposal.
UNSURE: Final[frozenset[str]] = _words(
    """
    latest earliest least most unsure uncertain unknown undated undatiert unspecified nd
    unverified unconfirmed tbc tbd check verify guess not no wrong
    incorrect various mixed unbekannt unsicher inconnu inconnue incertain desconocido desconocida incierto
    """
)

# Words that stand between the parts of one date.
FILLER: Final[frozenset[str]] = _words(
    """
    the of on de del des d le la les el los las die den dem der von vom am an im in year sic ie season seasons semester
    years yr somewhere term terms sometime during en decade either
    annee ano jahr jahre jahren
    """
)

# Beside one of these a date with dots puts the day first, as is written in German, French and Spanish (DIN 5008 and
# common practice).
DAY_FIRST: Final[frozenset[str]] = _words(
    """
    vom gesendet sendung sendedatum erstsendung ausgestrahlt ausstrahlung erstausstrahlung aufgenommen aufnahme
    aufnahmedatum gedreht drehtag datum montag dienstag mittwoch donnerstag freitag samstag sonnabend sonntag
    diffuse diffusion enregistre enregistrement tourne tournage lundi mardi mercredi jeudi vendredi samedi dimanche
    emitido emision grabado grabacion rodado filmado fecha lunes martes miercoles jueves viernes sabado domingo
    """
)

# Words that say no more than that a date stands there.
LABELS: Final[frozenset[str]] = _words(
    """
    date dates dated year datum jahr annee fecha ano aufnahmedatum sendedatum drehtag
    """
)
# Words that tell nothing without another word beside them.
GLUE: Final[frozenset[str]] = (
    FILLER
    | ABOUT
    | PERHAPS
    | AND
    | OR
    | RANGE
    | BETWEEN
    | NOW
    | BEFORE
    | AFTER
    | SINCE
    | UNTIL
    | _words("at by for s t")
)

# What is said of the extent of a collection's dates (DACS 2.4).
EXTENT: Final[frozenset[str]] = _words("bulk inclusive incl predominantly")

# A date right after one of these is the date of the recording, even a bare year.
_CUES: Final[frozenset[str]] = _words(
    """
    in en during recorded taped videotaped filmed shot aired broadcast dated date dates year produced made released
    recording tx air airdate release premiere production publication transmitted transmission premiered rec made
    issued published created copyright c r aufgenommen aufnahme gesendet sendung datum jahr gedreht enregistre
    diffuse tourne date annee grabado emitido fecha ano filmado on edited performed live completed produktion
    prod prodn rel bcast txd txed ausgestrahlt erstsendung erstausstrahlung sendedatum drehtag hergestellt produziert
    schnitt diffusion enregistrement tournage realise produit montage emision emitida grabada grabacion rodado rodaje
    realizado estreno
    """
)
CUES: Final[frozenset[str]] = _CUES | EXTENT | frozenset(DATE_TYPES)

# What is counted: the figure behind it is no day, unless a month follows. Behind the first kind it may then be either.
NUMBERED: Final[frozenset[str]] = _words(
    """
    tape tapes reel reels disc disk disque vol volume no nos nr num number numero ep episode part parts pt teil folge
    band bande cassette kassette cinta rollo rolle bobine box item side chapter shelf folder
    """
)
SHOWN: Final[frozenset[str]] = _words(
    "can track lecture lesson copy take show program programme prog session scene film meeting class concert"
)

_ONES: Final = "first second third fourth fifth sixth seventh eighth ninth"
_TEENS: Final = (
    "tenth eleventh twelfth thirteenth fourteenth fifteenth sixteenth seventeenth eighteenth nineteenth twentieth"
)
ORDINALS: Final[dict[str, int]] = {
    **{word: number for number, word in enumerate(f"{_ONES} {_TEENS}".split(), 1)},
    **{f"twenty-{word}": number for number, word in enumerate(_ONES.split(), 21)},
    "thirtieth": 30,
    "thirty-first": 31,
    "primero": 1,
    "premier": 1,
    "erster": 1,
    "ersten": 1,
}

# Whole texts that mean that no date is known (after punctuation and spaces are taken out).
NO_DATE: Final[frozenset[str]] = _words(
    """
    nd na none null nil unknown undated nodate notdated dateunknown unknowndate datenotknown notknown notavailable
    notapplicable unspecified notspecified notrecorded unavailable uncertain tbd tbc tba tk various variousdates
    dateunavailable nodategiven nodateavailable nodateknown yearunknown unknownyear ud unkown unknow sd sansdate
    ss sl sinfecha sf datedesconnue dateinconnue inconnu inconnue nondate nondatee fechadesconocida desconocido
    desconocida oj od ohnedatum ohnejahr undatiert nichtdatiert unbekannt datumunbekannt unk ndate
    dateunk seenotes nodates missing blank empty
    """
)
