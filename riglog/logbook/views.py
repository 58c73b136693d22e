"""Views for people with an SQLite browser: heads of the log, in the units of the trade.

The program reads none of them. With ``trusted_schema=OFF``, which it sets for itself, SQLite 3.40
even refuses their JSON functions; browsers leave it on. A ring's pivot is the mean of its two.
"""

COMPONENTS = """\
CREATE VIEW components AS
SELECT
    e.subject AS id,
    v.number AS version,
    e.body ->> '$.kind' AS kind,
    round((e.body ->> '$.mass') * 1000, 3) AS mass_g,
    round((e.body ->> '$.mass_sd') * 1000, 3) AS mass_sd_g,
    e.body ->> '$.by' AS weighed_by,
    round((e.body ->> '$.size[0]') * 1000, 3) AS length_mm,
    round((e.body ->> '$.size[1]') * 1000, 3) AS width_mm,
    round((e.body ->> '$.size[2]') * 1000, 3) AS height_mm,
    round((e.body ->> '$.cg[0]') * 1000, 3) AS cg_x_mm,
    round((e.body ->> '$.cg[1]') * 1000, 3) AS cg_y_mm,
    round((e.body ->> '$.cg[2]') * 1000, 3) AS cg_z_mm,
    e.body ->> '$.like' AS "like",
    e.body ->> '$.serial' AS serial,
    e.body ->> '$.note' AS note,
    e.author AS author,
    e.at AS recorded_at,
    e.id AS entry
FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = 'component' AND v.superseded = 0
ORDER BY e.subject, e.seq"""

RIGS = """\
CREATE VIEW rigs AS
SELECT
    e.subject AS id,
    v.number AS version,
    e.body ->> '$.type' AS type,
    (SELECT group_concat(key, ', ') FROM json_each(e.body, '$.mounts')) AS mounts,
    (SELECT group_concat(value ->> '$.id', ', ') FROM json_each(e.body, '$.adjusters'))
        AS adjusters,
    round((e.body ->> '$.rated_load.rig.greatest'), 3) AS rated_load_kg,
    e.body ->> '$.note' AS note,
    e.author AS author,
    e.at AS recorded_at,
    e.id AS entry
FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = 'rig' AND v.superseded = 0
ORDER BY e.subject, e.seq"""

BUILDS = """\
CREATE VIEW builds AS
SELECT
    e.subject AS id,
    v.number AS version,
    e.body ->> '$.rig' AS rig,
    coalesce(e.body ->> '$.mode', 'high') AS mode,
    e.body ->> '$.wanted_drop' AS wanted_drop_s,
    round(coalesce(
        ((e.body ->> '$.settings.pivot.left') + (e.body ->> '$.settings.pivot.right')) / 2,
        e.body ->> '$.settings.pivot'
    ) * 1000, 3) AS pivot_mm,
    round((e.body ->> '$.settings.pivot.left') * 1000, 3) AS pivot_left_mm,
    round((e.body ->> '$.settings.pivot.right') * 1000, 3) AS pivot_right_mm,
    (SELECT group_concat(value ->> '$.component', ', ') FROM json_each(e.body, '$.parts'))
        AS parts,
    e.body ->> '$.note' AS note,
    e.author AS author,
    e.at AS recorded_at,
    e.id AS entry
FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = 'build' AND v.superseded = 0
ORDER BY e.subject, e.seq"""

SCALES = """\
CREATE VIEW scales AS
SELECT
    e.subject AS id,
    v.number AS version,
    round((e.body ->> '$.resolution') * 1000, 3) AS resolution_g,
    round(coalesce(e.body ->> '$.linearity', 0) * 1000, 3) AS linearity_g,
    e.body ->> '$.checked' AS checked_on,
    round((e.body ->> '$.reference') * 1000, 3) AS reference_g,
    round((e.body ->> '$.showed') * 1000, 3) AS showed_g,
    e.body ->> '$.serial' AS serial,
    e.body ->> '$.note' AS note,
    e.author AS author,
    e.at AS recorded_at,
    e.id AS entry
FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = 'scale' AND v.superseded = 0
ORDER BY e.subject, e.seq"""

# What a note is about need not be here yet.
NOTES = """\
CREATE VIEW notes AS
SELECT
    e.subject AS id,
    e.body ->> '$.text' AS note,
    t.kind AS about,
    e.body ->> '$.entry' AS about_entry,
    e.author AS author,
    e.at AS recorded_at,
    e.id AS entry
FROM versions AS v JOIN entries AS e ON e.seq = v.entry
LEFT JOIN entries AS t ON t.id = e.body ->> '$.entry'
WHERE v.kind = 'note' AND v.superseded = 0
ORDER BY e.subject, e.seq"""

TAGS = """\
CREATE VIEW tags AS
SELECT
    e.subject AS id,
    e.body ->> '$.tag' AS tag,
    t.kind AS about,
    e.body ->> '$.entry' AS about_entry,
    e.author AS author,
    e.at AS recorded_at,
    e.id AS entry
FROM versions AS v JOIN entries AS e ON e.seq = v.entry
LEFT JOIN entries AS t ON t.id = e.body ->> '$.entry'
WHERE v.kind = 'tag' AND v.superseded = 0
UNION ALL
SELECT e.subject, g.value, e.kind, e.id, e.author, e.at, e.id
FROM versions AS v JOIN entries AS e ON e.seq = v.entry
JOIN json_each(e.body, '$.tags') AS g
WHERE v.kind IN ('component', 'rig', 'build', 'scale', 'reading', 'measurement')
    AND v.superseded = 0
ORDER BY id, tag"""

NAMES = """\
CREATE VIEW names AS
SELECT
    e.subject AS id,
    e.body ->> '$.name' AS name,
    b.number AS version,
    round(coalesce(
        (
            (e.body ->> '$.stand.settings.pivot.left')
            + (e.body ->> '$.stand.settings.pivot.right')
        ) / 2,
        e.body ->> '$.stand.settings.pivot'
    ) * 1000, 3) AS pivot_mm,
    e.author AS author,
    e.at AS recorded_at,
    e.id AS entry
FROM versions AS v JOIN entries AS e ON e.seq = v.entry
LEFT JOIN entries AS s ON s.id = e.body ->> '$.entry'
LEFT JOIN versions AS b
    ON b.kind = s.kind AND b.subject = s.subject AND b.superseded IN (0, 1) AND b.entry = s.seq
WHERE v.kind = 'name' AND v.superseded = 0
ORDER BY e.subject, name, e.seq"""

HISTORY = """\
CREATE VIEW history AS
SELECT
    e.subject AS id,
    e.kind AS kind,
    CASE WHEN e.kind IN ('component', 'rig', 'build', 'scale') THEN v.number END AS version,
    CASE
        WHEN EXISTS (
            SELECT 1 FROM about WHERE target = e.id AND kind = 'undo' AND counts = 1
        ) THEN 'undone'
        WHEN v.superseded = 1 THEN 'superseded'
        ELSE 'counts'
    END AS state,
    coalesce(e.body ->> '$.text', e.body ->> '$.tag', e.body ->> '$.name', e.body ->> '$.note')
        AS words,
    e.author AS author,
    e.at AS recorded_at,
    e.id AS entry,
    (SELECT group_concat(substr(value, 1, 8), ', ') FROM json_each(e.parents)) AS supersedes
FROM entries AS e
JOIN versions AS v
    ON v.kind = e.kind AND v.subject = e.subject AND v.superseded IN (0, 1) AND v.entry = e.seq
ORDER BY e.seq"""

READINGS = """\
CREATE VIEW readings AS
SELECT
    e.subject AS build,
    b.number AS build_version,
    e.body ->> '$.kind' AS kind,
    e.body ->> '$.on' AS taken_at,
    (SELECT group_concat(value, ', ') FROM json_each(e.body, '$.times')) AS times_s,
    e.body ->> '$.mass' AS mass_kg,
    round((e.body ->> '$.at') * 1000, 3) AS at_mm,
    round(degrees(e.body ->> '$.lean'), 3) AS lean_deg,
    round(degrees(e.body ->> '$.side'), 3) AS side_deg,
    round(coalesce(
        (
            (e.body ->> '$.stand.settings.pivot.left')
            + (e.body ->> '$.stand.settings.pivot.right')
        ) / 2,
        e.body ->> '$.stand.settings.pivot'
    ) * 1000, 3) AS pivot_mm,
    round((e.body ->> '$.stand.settings.pivot.left') * 1000, 3) AS pivot_left_mm,
    round((e.body ->> '$.stand.settings.pivot.right') * 1000, 3) AS pivot_right_mm,
    (SELECT group_concat(value, ', ') FROM json_each(e.body, '$.conditions')) AS conditions,
    e.body ->> '$.note' AS note,
    e.author AS author,
    e.at AS recorded_at,
    e.id AS entry
FROM versions AS v JOIN entries AS e ON e.seq = v.entry
LEFT JOIN entries AS s ON s.id = e.body ->> '$.stand.version'
LEFT JOIN versions AS b
    ON b.kind = s.kind AND b.subject = s.subject AND b.superseded IN (0, 1) AND b.entry = s.seq
WHERE v.kind = 'reading' AND v.superseded = 0
ORDER BY e.seq"""

MEASUREMENTS = """\
CREATE VIEW measurements AS
SELECT
    e.subject AS component,
    e.body ->> '$.kind' AS kind,
    e.body ->> '$.on' AS taken_at,
    (
        SELECT group_concat(round(value * 1000, 3), ', ') FROM json_each(e.body, '$.shown')
    ) AS shown_g,
    round((e.body ->> '$.without') * 1000, 3) AS without_g,
    coalesce(e.body ->> '$.scale', e.body ->> '$.by') AS by,
    coalesce(e.body ->> '$.along', e.body ->> '$.about') AS axis,
    round((e.body ->> '$.at') * 1000, 3) AS at_mm,
    e.body ->> '$.moment' AS moment_kg_m2,
    e.body ->> '$.note' AS note,
    e.author AS author,
    e.at AS recorded_at,
    e.id AS entry
FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = 'measurement' AND v.superseded = 0
ORDER BY e.seq"""

VIEWS = (
    COMPONENTS, RIGS, BUILDS, SCALES, READINGS, MEASUREMENTS, NOTES, TAGS, NAMES, HISTORY,
)  # fmt: skip
