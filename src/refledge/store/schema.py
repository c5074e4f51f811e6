"""Tables of the store, as steps from an empty file; a step that was released is never changed."""

SETTINGS_IN_KEY = (
    "printer",
    "nozzle_temperature",
    "bed_temperature",
    "layer",
    "line_width",
    "infill",
)

_FIRST = (
    """CREATE TABLE session (
    number INTEGER PRIMARY KEY, digest TEXT NOT NULL UNIQUE, source TEXT NOT NULL,
    text TEXT NOT NULL, title TEXT NOT NULL, kind TEXT NOT NULL, material TEXT NOT NULL,
    spool TEXT NOT NULL, settings TEXT NOT NULL, orientation TEXT NOT NULL, gauges TEXT NOT NULL,
    date TEXT NOT NULL, room TEXT NOT NULL, drying TEXT NOT NULL, note TEXT NOT NULL,
    assumed TEXT NOT NULL, saved TEXT NOT NULL) STRICT""",
    """CREATE TABLE reading (
    session INTEGER NOT NULL REFERENCES session, series INTEGER NOT NULL, place INTEGER NOT NULL,
    specimen TEXT NOT NULL, span_m REAL NOT NULL, mass_kg REAL, load_N REAL, read_m REAL NOT NULL,
    time_s REAL, spread_m REAL, excluded TEXT NOT NULL,
    PRIMARY KEY (session, series, place)) STRICT, WITHOUT ROWID""",
    """CREATE TABLE specimen (
    session INTEGER NOT NULL REFERENCES session, name TEXT NOT NULL, json TEXT NOT NULL,
    PRIMARY KEY (session, name)) STRICT""",
    """CREATE TABLE photo (
    session INTEGER NOT NULL REFERENCES session, series INTEGER NOT NULL, path TEXT NOT NULL)
    STRICT""",
    """CREATE TABLE reduction (
    number INTEGER PRIMARY KEY, session INTEGER NOT NULL REFERENCES session,
    version TEXT NOT NULL, saved TEXT NOT NULL, json TEXT NOT NULL) STRICT""",
    """CREATE TABLE measured (
    reduction INTEGER NOT NULL REFERENCES reduction, prop TEXT NOT NULL, unit TEXT NOT NULL,
    value REAL NOT NULL, uncertainty REAL NOT NULL, random REAL NOT NULL, systematic REAL NOT NULL,
    low REAL NOT NULL, high REAL NOT NULL, pieces INTEGER NOT NULL,
    PRIMARY KEY (reduction, prop)) STRICT""",
    """CREATE TABLE prediction (
    name TEXT PRIMARY KEY, value REAL NOT NULL, uncertainty REAL NOT NULL, unit TEXT NOT NULL,
    basis TEXT NOT NULL, made TEXT NOT NULL) STRICT""",
    """CREATE TABLE score (
    prediction TEXT NOT NULL UNIQUE REFERENCES prediction, measured REAL NOT NULL,
    uncertainty REAL NOT NULL, z REAL NOT NULL, scored TEXT NOT NULL, note TEXT NOT NULL) STRICT""",
    *(
        f"""CREATE TRIGGER {table}_{what.lower()} BEFORE {what} ON {table}
        BEGIN SELECT RAISE(ABORT, 'a {table} is never changed'); END"""
        for table in ("session", "reading", "specimen", "photo", "reduction", "measured",
                      "prediction", "score")
        for what in ("UPDATE", "DELETE")
    ),
)  # fmt: skip

_LOG = (
    """CREATE TABLE entry (
    number INTEGER PRIMARY KEY AUTOINCREMENT, kind TEXT NOT NULL, date TEXT NOT NULL,
    body TEXT NOT NULL CHECK (json_valid(body)), saved TEXT NOT NULL) STRICT""",
    "CREATE INDEX entry_by_date ON entry (date, number)",
    *(
        f"""CREATE TRIGGER entry_{what.lower()} BEFORE {what} ON entry
        BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END"""
        for what in ("UPDATE", "DELETE")
    ),
)

MIGRATIONS: tuple[tuple[str, tuple[str, ...]], ...] = (("the bench", _FIRST), ("the log", _LOG))
"""Name and statements of each step, in order."""
