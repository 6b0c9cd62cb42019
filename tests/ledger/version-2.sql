-- A ledger of schema version 2, as it was when entries were numbered in the file: the three jobs of version 1,
-- one of them gone on with, by a clock that once ran behind. As sqlite3 3.40 dumps it.
CREATE TABLE jobs (
    id           TEXT NOT NULL PRIMARY KEY CHECK (id GLOB '????????-????-4???-[89ab]???-????????????'),
    area         TEXT NOT NULL CHECK (length(CAST(area AS BLOB)) <= 200 AND instr(area, char(0)) = 0),
    installation TEXT NOT NULL CHECK (length(CAST(installation AS BLOB)) <= 200 AND instr(installation, char(0)) = 0),
    knowledge    TEXT NOT NULL CHECK (length(CAST(knowledge AS BLOB)) <= 200 AND instr(knowledge, char(0)) = 0),
    opened       INTEGER NOT NULL CHECK (opened BETWEEN -62167219200 AND 253402300799)
, checksum INTEGER NOT NULL DEFAULT 0 CHECK (checksum BETWEEN 0 AND 4294967295)) STRICT;
INSERT INTO jobs VALUES('6f1c2a90-1d3e-4b5a-9c7d-0123456789ab','heron-bottom','HB-17','2026.10 (00aa11bb22cc)',1793000000,4255360250);
INSERT INTO jobs VALUES('a0b1c2d3-e4f5-4678-8a9b-ba9876543210','quarry-lane','QL-3','2026.11 (3f9c0a12bd77)',1795000000,1718870792);
INSERT INTO jobs VALUES('ffffffff-0000-4000-b000-000000000001','','','',0,3717972154);
CREATE TABLE events (
    job    TEXT NOT NULL REFERENCES jobs (id),
    number INTEGER NOT NULL CHECK (number BETWEEN 1 AND 4294967294),
    at     INTEGER NOT NULL CHECK (at BETWEEN -62167219200 AND 253402300799),
    kind   TEXT NOT NULL CHECK (kind IN ('set', 'said', 'found', 'pass', 'did_test', 'did', 'person',
                                         'state', 'cause', 'note', 'left', 'resumed', 'closed', 'undo')),
    what   TEXT NOT NULL CHECK (length(CAST(what AS BLOB)) <= 200 AND instr(what, char(0)) = 0),
    value  TEXT NOT NULL CHECK (length(CAST(value AS BLOB)) <= 4000 AND instr(value, char(0)) = 0), minutes REAL NOT NULL DEFAULT 0 CHECK (minutes BETWEEN 0 AND 100000), checksum INTEGER NOT NULL DEFAULT 0 CHECK (checksum BETWEEN 0 AND 4294967295),
    PRIMARY KEY (job, number)
) STRICT, WITHOUT ROWID;
INSERT INTO events VALUES('6f1c2a90-1d3e-4b5a-9c7d-0123456789ab',1,1793000060,'said','no-water','yes',0.0,4098512052);
INSERT INTO events VALUES('6f1c2a90-1d3e-4b5a-9c7d-0123456789ab',2,1793003600,'person','','qualified electrician',0.0,241190733);
INSERT INTO events VALUES('6f1c2a90-1d3e-4b5a-9c7d-0123456789ab',3,1793003700,'did','clear-switch-port','',0.0,4037884834);
INSERT INTO events VALUES('6f1c2a90-1d3e-4b5a-9c7d-0123456789ab',4,1793003800,'closed','','cured',0.0,1057438850);
INSERT INTO events VALUES('a0b1c2d3-e4f5-4678-8a9b-ba9876543210',1,1795000060,'note','','dog in the yard – ring first',0.0,26740319);
INSERT INTO events VALUES('a0b1c2d3-e4f5-4678-8a9b-ba9876543210',2,1795000070,'undo','1','',0.0,3724517050);
INSERT INTO events VALUES('a0b1c2d3-e4f5-4678-8a9b-ba9876543210',3,1795168800,'said','no-water','yes',0.0,1354162541);
INSERT INTO events VALUES('a0b1c2d3-e4f5-4678-8a9b-ba9876543210',4,1795165200,'found','water-comes-back','yes',0.0,2370862335);
INSERT INTO events VALUES('a0b1c2d3-e4f5-4678-8a9b-ba9876543210',5,1795172400,'undo','4','',0.0,2890517561);
INSERT INTO events VALUES('a0b1c2d3-e4f5-4678-8a9b-ba9876543210',6,1795172400,'did','clear-switch-port','',20.5,3995268779);
CREATE TRIGGER jobs_are_kept BEFORE DELETE ON jobs
BEGIN SELECT RAISE(ABORT, 'jobs are never deleted'); END;
CREATE TRIGGER jobs_are_new BEFORE INSERT ON jobs
WHEN EXISTS (SELECT 1 FROM jobs WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'the job is there already'); END;
CREATE TRIGGER events_are_kept BEFORE DELETE ON events
BEGIN SELECT RAISE(ABORT, 'events are never deleted'); END;
CREATE TRIGGER events_are_numbered_on BEFORE INSERT ON events
WHEN NEW.number <> 1 + (SELECT coalesce(max(number), 0) FROM events WHERE job = NEW.job)
BEGIN SELECT RAISE(ABORT, 'events are numbered on from the last one'); END;
CREATE TRIGGER jobs_stay_as_they_are BEFORE UPDATE ON jobs
BEGIN SELECT RAISE(ABORT, 'jobs are never changed'); END;
CREATE TRIGGER events_stay_as_they_are BEFORE UPDATE ON events
BEGIN SELECT RAISE(ABORT, 'events are never changed'); END;
PRAGMA application_id = 1265530732;
PRAGMA user_version = 2;
