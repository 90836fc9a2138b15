"""The words of lengths in English, German, French and Spanish, lower case and without accents. Data, kept whole."""

from __future__ import annotations

from fractions import Fraction
from typing import Final


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


# Seconds in one of each unit, by its words.
UNITS: Final[dict[str, int]] = {
    word: seconds
    for seconds, words in {
        3600: "h hr hrs hour hours std stdn stunde stunden heure heures hora horas hs",
        60: "m min mins minute minutes mn mns minuten minuto minutos minut",
        1: "s sec secs second seconds sek sekunde sekunden seconde secondes seg segs segundo segundos ss sc",
    }.items()
    for word in words.split()
}

# Measures of the carrier, not of time.
NOT_TIME: Final[frozenset[str]] = _words(
    """
    ft feet foot mm inch inches in cm metre metres meter meters mtr mtrs frame frames fr frs bilder images fotogramas
    pieds fuss pies ips fps kb mb gb tb
    """
)

LABELS: Final[frozenset[str]] = _words(
    """
    trt rt tt length duration dur durations running run runtime runningtime playing playtime time laufzeit
    lauflange dauer lange spieldauer lange duree duracion minutage metraje spielzeit gesamtlange lg tiempo
    longueur len total
    """
)

ABOUT: Final[frozenset[str]] = _words(
    """
    c ca circa cca approx approximately approximate about abt around est estimated roughly nearly almost
    unconfirmed uncertain probably possibly perhaps etwa ungefahr zirka rund env environ vers aprox unos unas
    aproximadamente alrededor ungef
    """
)

# A limit or a span, not a length.
LIMITS: Final[frozenset[str]] = _words(
    """
    under over max maximum minimum less more than least most up within bis unter uber mindestens hochstens maximal
    moins plus menos mas maxi jusqu hasta between zwischen entre upto exceeds capacity
    """
)

# A carrier right after a length makes it the carrier's capacity: "60 min tape".
CARRIERS: Final[frozenset[str]] = _words(
    """
    tape tapes cassette cassettes reel reels cart carts disc discs stock band kassette
    """
)

# What a small figure behind a length counts.
COUNTED: Final[frozenset[str]] = _words(
    """
    part parts side sides episode episodes program programs programme programmes segment segments track tracks
    channel channels item items spool spools piece pieces screen screens copy copies videocassette videocassettes
    audiocassette audiocassettes videotape videotapes audiotape audiotapes tapes reels teile parties partes
    """
)

# Between two lengths: from one to the other, or either.
SPAN: Final[frozenset[str]] = _words("- to bis a or oder ou")

EACH: Final[frozenset[str]] = _words(
    """
    each apiece per ea je jeweils chacun chacune chaque cada
    """
)

AND: Final[frozenset[str]] = _words("and und et y")
TIMES: Final[frozenset[str]] = frozenset(("x", "×", "*", "@", "times", "mal", "fois", "veces", "a"))

# Shares of a unit that no figure took: the length is not all read.
SHARES: Final[frozenset[str]] = _words("half halbe halben demi demie media medio viertel")

NO_LENGTH: Final[frozenset[str]] = _words(
    """
    na none null nil unknown tbd tbc tba unbekannt inconnu inconnue desconocido desconocida variable varies
    various notknown notavailable notapplicable undetermined unk unspecified nodata seenotes notgiven nd
    """
)

NUMBERS: Final[dict[str, Fraction]] = {
    word: Fraction(value)
    for value, words in {
        "1": "a an one ein eine einer un une uno una",
        "2": "two zwei deux dos",
        "3": "three drei trois tres",
        "4": "four vier quatre cuatro",
        "5": "five funf cinq cinco",
        "6": "six sechs seis",
        "7": "seven sieben sept siete",
        "8": "eight acht huit ocho",
        "9": "nine neun neuf nueve",
        "10": "ten zehn dix diez",
        "12": "twelve zwolf douze doce",
        "15": "fifteen funfzehn quinze quince",
        "20": "twenty zwanzig vingt veinte",
        "30": "thirty dreissig trente treinta",
        "40": "forty vierzig quarante cuarenta",
        "45": "fortyfive",
        "50": "fifty funfzig cinquante cincuenta",
        "60": "sixty sechzig soixante sesenta",
        "90": "ninety neunzig noventa",
        "1/2": "half halbe halben demi demie media medio",
        "1/4": "quarter quarters viertel quart quarts cuarto cuartos",
        "3/4": "dreiviertel",
        "3/2": "anderthalb eineinhalb",
    }.items()
    for word in words.split()
}
