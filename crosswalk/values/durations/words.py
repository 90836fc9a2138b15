"""The words of lengths in English, German, French and Spanish, lower case and without accents. Data, kept whole."""

from __future__ import annotations

from fractions import Fraction
from typing import Final


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


# The option of a context whose unit for bare figures nobody stated: the column's own figures are the evidence.
UNIT_OF_COLUMN: Final = ("bare-unit", "of the column")

# Seconds in one of each unit, by its words.
UNITS: Final[dict[str, int]] = {
    word: seconds
    for seconds, words in {
        3600: """h hr hrs hour hours std stdn stunde stunden heure heures hora horas hs ora ore uur uren timme timmar
            stundig stundige stundiger stundiges""",
        60: """m min mins minute minutes mn mns mts mnts mnt minuten minuto minutos minut minuti minuter minutter
            minutig minutige minutiger minutiges""",
        1: """s sec secs second seconds sek sekunde sekunden seconde secondes seg segs segundo segundos ss sc secondi
            sekunder seconden""",
    }.items()
    for word in words.split()
}

# How fast a disc turns. Beside these a clock of two parts counts minutes and seconds.
TURNING: Final[frozenset[str]] = _words(
    "rpm upm umin tmin tmn trmin trmn trsmin toursmin tourmin tours umdrehungen revoluciones"
)

# Measures of the carrier, not of time.
NOT_TIME: Final[frozenset[str]] = TURNING | _words(
    """
    ft feet foot mm inch inches in cm metre metres meter meters mtr mtrs frame frames fr frs bilder images fotogramas
    pieds fuss pies ips fps kb mb gb tb metros cms cmsec cmsek cmsekunde ins inss
    """
)

LABELS: Final[frozenset[str]] = _words(
    """
    trt rt tt lgth lth timing timed length duration dur durations running run runtime runningtime playing playtime time
    laufzeit lauflange dauer lange spieldauer lange duree duracion minutage metraje spielzeit gesamtlange lg tiempo
    longueur len total gesamtlaufzeit gesamtdauer gesamtspieldauer sendelange sendedauer minutaje runs totale dauert
    """
)

ABOUT: Final[frozenset[str]] = _words(
    """
    c ca circa cca approx approximately approximate about abt around est estimate estimated roughly app appx apprx
    unconfirmed uncertain probably possibly perhaps etwa ungefahr zirka rund env environ vers aprox unos unas
    aproximadamente alrededor ungef geschatzt gesch cerca pres
    """
)

# A limit or a span, not a length.
LIMITS: Final[frozenset[str]] = _words(
    """
    under over max maximum minimum less more than least most up within bis unter uber mindestens hochstens maximal
    moins menos mas maxi jusqu hasta between zwischen entre upto exceeds nearly almost
    upwards mehr weniger mind knapp nominal nominally scheduled planned allotted geplant nominell prevu previsto casi
    """
)

# A carrier right after a length makes it the carrier's capacity: "60 min tape".
CARRIERS: Final[frozenset[str]] = _words(
    """
    tape tapes cassette cassettes reel reels cart carts disc discs stock band kassette rolle spule bande bobine cinta
    casete bander kassetten rollen spulen bandes bobines cintas casetes
    """
)

# Several carriers, or several parts of one recording: with "each" behind their length they make one whole.
CARRIED: Final[frozenset[str]] = _words(
    """
    tapes cassettes reels carts discs disks spools videocassettes audiocassettes videotapes audiotapes videoreels cans
    parts sides bander kassetten rollen spulen platten teile seiten bobines bandes disques parties faces cintas casetes
    rollos discos partes caras lados dvds cds lps filmrollen filmdosen dosen tonbander videobander videokassetten
    """
)

# Programmes of a series: lengths of these add up to no recording.
PROGRAMMES: Final[frozenset[str]] = _words(
    "episode episodes ep eps program programs programme programmes show shows folgen sendungen episodios spots spot"
)

# What a carrier holds, beside which another length is that of the recording.
HOLDING: Final[frozenset[str]] = _words("capacity kapazitat capacite capacidad")
USED: Final[frozenset[str]] = _words(
    """
    used recorded filled bespielt belegt benutzt genutzt gefullt aufgenommen aufgezeichnet utilise utilises utilisee
    utilisees enregistre enregistres enregistree enregistrees grabado grabados grabada grabadas usado usados
    """
)
UNUSED: Final[frozenset[str]] = _words(
    "blank unused unrecorded free spare leer frei unbespielt ubrig vierge vierges libre libres vide restant vacio"
)
OF: Final[frozenset[str]] = _words("of von sur de")
ON: Final[frozenset[str]] = _words("on auf sur en")
ONE: Final[frozenset[str]] = _words("a an one ein eine einer einem une un una uno")

# Labels of the length of a film, in which an m counts metres as often as minutes.
MEASURED: Final[frozenset[str]] = _words("length lange longueur lg lgth lth len metraje")
# Beside these an m counts metres.
FILM: Final[frozenset[str]] = _words("mm film ft feet")

# What a small figure behind a length counts.
COUNTED: Final[frozenset[str]] = _words(
    """
    part parts side sides episode episodes program programs programme programmes segment segments track tracks
    channel channels item items spool spools piece pieces screen screens copy copies videocassette videocassettes
    audiocassette audiocassettes videotape videotapes audiotape audiotapes tapes reels teile parties partes
    """
)

# Parts beside the recording itself: a sum with one of them may not be meant.
EXTRAS: Final[frozenset[str]] = _words(
    """
    bonus extra extras ad ads advert adverts advertisement advertisements commercial commercials credits leader leaders
    trailer trailers slate slates bars countdown tail tails outtakes promo promos werbung vorspann abspann nachspann pub
    generique publicite publicidad creditos
    """
)

# What a length may be "per" besides.
SERIES: Final[frozenset[str]] = COUNTED | CARRIERS | _words("ep eps show spot seite teil folge face partie cara parte")

# Between two lengths: from one to the other, or either.
SPAN: Final[frozenset[str]] = _words("- to bis a or oder ou o")

EACH: Final[frozenset[str]] = _words(
    """
    each apiece per ea je jeweils chacun chacune chaque cada cu
    """
)

# Right before a length these mean a little more of it.
MORE: Final[frozenset[str]] = _words("gut good bien")

# Right before a length these make it a point in the recording, or a share of it.
POINTS: Final[frozenset[str]] = _words(
    """
    in out at @ point from after before until till since first last next not no um ab nach vor depuis apres avant desde
    las
    """
)

# And right behind it.
POINTED: Final[frozenset[str]] = _words(
    "in into missing lost short left remaining early late gone fehlt fehlen manque gmt utc cet"
)

# A length beside these is not that of the recording.
PASSING: Final[frozenset[str]] = _words(
    """
    start starts started starting begin begins beginning beginnt tc timecode som eom missing lost lacks lacking
    remaining should instead supposed tx aired airs broadcast gesendet sendung emision emitido fehlt fehlen
    """
)

# A clock beside these is a time of day.
DAYS: Final[frozenset[str]] = _words(
    """
    news monday tuesday wednesday thursday friday saturday sunday mon tue tues wed thu thur thurs fri sat sun
    january february march april may june july august september october november december jan feb mar apr jun jul aug
    sep sept oct nov dec morning afternoon evening noon midnight gmt clock
    montag dienstag mittwoch donnerstag freitag samstag sonntag januar februar marz mai juni juli oktober dezember
    lundi mardi mercredi jeudi vendredi samedi dimanche janvier fevrier mars avril juin juillet aout septembre octobre
    novembre decembre lunes martes miercoles jueves viernes sabado domingo enero febrero marzo abril mayo junio julio
    agosto septiembre octubre noviembre diciembre mo di mi lun mer jeu ven sam mie jue vie sab
    """
)

# Formats before the word for their carrier: "120 min VHS tape".
FORMATS: Final[frozenset[str]] = _words(
    """
    - u s vhs svhs betamax betacam beta sp digibeta umatic matic dat dv dvcam minidv hi audio video compact blank
    """
)

# One letter away from a unit, and something else.
NO_SLIPS: Final[frozenset[str]] = _words("minuet minuets tours tour menuett menuet secund stunden stunts stundenplan")

# Words that tell nothing of their own, and words that tell nothing without another beside them.
UNDERSTOOD: Final[frozenset[str]] = LABELS | ABOUT | frozenset(UNITS) | _words("in the of is")
GLUE: Final[frozenset[str]] = UNDERSTOOD | _words("and und et y a an at for with con mit avec to from on")

WITH: Final[frozenset[str]] = _words("con mit avec")
AND: Final[frozenset[str]] = _words("and und et y u")
TIMES: Final[frozenset[str]] = frozenset(("x", "×", "*", "@", "times", "mal", "fois", "veces"))

NO_LENGTH: Final[frozenset[str]] = _words(
    """
    na none null nil unknown tbd tbc tba unbekannt inconnu inconnue desconocido desconocida variable varies
    various notknown notavailable notapplicable undetermined unk unspecified nodata seenotes notgiven nd
    """
)

_ONES: Final = ("ein", "zwei", "drei", "vier", "funf", "sechs", "sieben", "acht", "neun")
_TENS: Final = ("zwanzig", "dreissig", "vierzig", "funfzig", "sechzig", "siebzig", "achtzig", "neunzig")

NUMBERS: Final[dict[str, int]] = {
    word: int(value)
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
        "11": "eleven elf onze once",
        "12": "twelve zwolf douze doce",
        "13": "thirteen dreizehn treize trece",
        "14": "fourteen vierzehn quatorze catorce",
        "15": "fifteen funfzehn quinze quince",
        "16": "sixteen sechzehn seize dieciseis",
        "17": "seventeen siebzehn diecisiete",
        "18": "eighteen achtzehn dieciocho",
        "19": "nineteen neunzehn diecinueve",
        "20": "twenty zwanzig vingt vingts veinte",
        "22": "veintidos",
        "23": "veintitres",
        "24": "veinticuatro",
        "25": "veinticinco",
        "26": "veintiseis",
        "27": "veintisiete",
        "28": "veintiocho",
        "29": "veintinueve",
        "30": "thirty dreissig trente treinta",
        "40": "forty fourty vierzig quarante cuarenta",
        "45": "fortyfive",
        "50": "fifty funfzig cinquante cincuenta",
        "60": "sixty sechzig soixante sesenta",
        "70": "seventy siebzig setenta",
        "80": "eighty achtzig ochenta",
        "90": "ninety neunzig noventa",
    }.items()
    for word in words.split()
} | {f"{one}und{ten}": 10 * tens + ones for tens, ten in enumerate(_TENS, 2) for ones, one in enumerate(_ONES, 1)}
SO_OFTEN: Final[dict[str, int]] = {"twice": 2, "thrice": 3}
HUNDREDS: Final[frozenset[str]] = _words("hundred hundert cent cien ciento")
NUMBER_JOINTS: Final[frozenset[str]] = frozenset(("-", "and", "und", "et", "y"))

# Shares of a unit.
SHARES: Final[dict[str, Fraction]] = {
    **dict.fromkeys(_words("half halbe halben demi demie media medio"), Fraction(1, 2)),
    **dict.fromkeys(_words("quarter quarters viertel quart quarts cuarto cuartos"), Fraction(1, 4)),
    "dreiviertel": Fraction(3, 4),
}
# A number and its share in one word.
MIXED: Final[dict[str, Fraction]] = {
    "anderthalb": Fraction(3, 2),
    "eineinhalb": Fraction(3, 2),
    "zweieinhalb": Fraction(5, 2),
    "dreieinhalb": Fraction(7, 2),
    "viereinhalb": Fraction(9, 2),
}

NUMBER_WORDS: Final[frozenset[str]] = frozenset((*NUMBERS, *HUNDREDS, *SHARES, *MIXED))
