"""The people of the house, all invented: who made what, in which years, and in which role."""

from __future__ import annotations

import random

from generator.model import Asset

# series: (role as published, [(given name, surname, first year, last year)])
CREWS: dict[str, dict[str, list[tuple[str, str, int, int]]]] = {
    "OHRD": {
        "Host": [("Ambrose", "Tolliver", 1961, 1972), ("Lettice", "Ormerow", 1973, 1979)],
        "Producer": [("Hesper", "Dallimoor", 1961, 1969), ("Godric", "Penfallow", 1970, 1979)],
        "Camera Operator": [("Tamsin", "Brackwell", 1961, 1968), ("Ivo", "Harkaby", 1969, 1979)],
        "Writer": [("Crispin", "Vellacourt", 1961, 1979)],
        "Recording Engineer": [("Mungo", "Saltash-Greer", 1961, 1979)],
    },
    "HNDW": {
        "Host": [("Idris", "Fennimoor", 1976, 1988), ("Philippa", "Gorsedene", 1989, 2001)],
        "Producer": [("Godric", "Penfallow", 1976, 1985), ("Rosalba", "Tinnick", 1986, 2001)],
        "Camera Operator": [("Ivo", "Harkaby", 1976, 1990), ("Jory", "Lanherrick", 1991, 2001)],
        "Editor": [("Winifred", "Ashpole", 1976, 2001)],
        "Narrator": [("Cosmo", "Trevarrick", 1976, 2001)],
    },
    "TDLN": {
        "Host": [("Perpetua", "Quill", 1984, 1999), ("Ewan", "Castlemere", 2000, 2012)],
        "Producer": [("Rosalba", "Tinnick", 1984, 1992), ("Benedikt", "Marrowfield", 1993, 2012)],
        "Camera Operator": [("Jory", "Lanherrick", 1984, 1996), ("Adaeze", "Winterbourne-Okoro", 1997, 2012)],
        "Director": [("Sunniva", "Haldersea", 1984, 2003), ("Zoë", "Pellingham", 2004, 2012)],
        "Recording Engineer": [("Barnabas", "Coldrake", 1984, 2012)],
        "Editor": [("Winifred", "Ashpole", 1984, 2001), ("Tobiah", "Lorne-Askew", 2002, 2012)],
    },
    "FRYH": {
        "Host": [("Cyprian", "Loach", 1961, 1979), ("Marguerite", "Dunnabeck", 1980, 2008)],
        "Producer": [("Hesper", "Dallimoor", 1961, 1975), ("Lucian", "Thrapple", 1976, 2008)],
        "Recording Engineer": [("Mungo", "Saltash-Greer", 1961, 1983), ("Oona", "Kestlebury", 1984, 2008)],
        "Interviewer": [("Marguerite", "Dunnabeck", 1974, 2008), ("Cyprian", "Loach", 1961, 1973)],
    },
}
# asset id: people who are in it, beside the crew
IN_IT: dict[str, tuple[str, str, str]] = {
    "OHRD-1502-2": ("Wilf", "Garraby", "Interviewee"),
    "OHRD-1502-2F1": ("Wilf", "Garraby", "Interviewee"),
    "OHRD-1101-1": ("Josiah", "Penhallick", "Guest"),
    "OHRD-1610": ("Lettice", "Ormerow", "Guest"),
    "HNDW-0104": ("Corwen", "Ashlark", "Guest"),
    "HNDW-0405": ("Enoch", "Tarbuckle", "Guest"),
    "TDLN-0423-2": ("Idonea", "Farrowby", "Interviewee"),
    "TDLN-0423-2F1": ("Idonea", "Farrowby", "Interviewee"),
    "FRYH-0504-1": ("Barnaby", "Skelhorn", "Vocalist"),
    "FRYH-0707": ("Honoria", "Blyth", "Guest"),
    "FRYH-1004": ("Séamas", "Ó Corrach", "Musician"),
    "FRYH-1004-1": ("Séamas", "Ó Corrach", "Musician"),
    "FRYH-1405-1": ("Aurélie", "Vasseur-Pike", "Guest"),
    "FRYH-2107-1": ("Evander", "Moss", "Guest"),
}
# how the house writes a published role; the first is the published form
ROLE_WORDINGS = {
    "Host": ["Host", "Presenter"],
    "Producer": ["Producer", "Prod."],
    "Camera Operator": ["Camera Operator", "Camera"],
    "Recording Engineer": ["Recording Engineer", "Sound"],
}
IN_THE_FIELD = {"Camera Operator", "Recording Engineer", "Producer", "Interviewer"}
REVIEWERS = ["Ottilie Garrowmere", "F. Nankervale", "Ottilie Garrowmere", "Rufus Sandgate-Holm"]


def crew_of(asset: Asset) -> list[tuple[str, str, str]]:
    """Everyone of the series' crew who was there in that year, as (given name, surname, role)."""
    return [
        (given, surname, role)
        for role, people in CREWS[asset.series].items()
        for given, surname, first, last in people
        if first <= asset.year <= last
    ]


def cast(assets: list[Asset], rng: random.Random) -> None:
    """Give each asset up to three contributors: the person who is in it, then some of the crew."""
    for asset in assets:
        if asset.level == "series":
            continue
        crew = crew_of(asset)
        wanted = {"episode": 3, "story": 1, "field recording": 2}[asset.level]
        people = [IN_IT[asset.id]] if asset.id in IN_IT else []
        people += [crew[0]] if asset.level != "field recording" else []
        if asset.level == "field recording":
            crew = [person for person in crew if person[2] in IN_THE_FIELD]
        rest = [p for p in crew if p not in people and all((p[0], p[1]) != (q[0], q[1]) for q in people)]
        rng.shuffle(rest)
        asset.contributors = (people + rest)[: max(wanted, len(people))]


def written_name(given: str, surname: str, rng: random.Random) -> str:
    """The name as one of many hands wrote it."""
    return f"{surname}, {given}" if rng.random() < 0.55 else f"{given} {surname}"


def written_role(role: str, rng: random.Random) -> str:
    """The role as the house writes it."""
    return rng.choice(ROLE_WORDINGS.get(role, [role]))
