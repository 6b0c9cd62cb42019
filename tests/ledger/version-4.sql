-- A ledger of schema version 4, as it was before corrected codes had an index: the jobs of version 3, brought up to date by
-- that program, and the house of the first one corrected. As sqlite3 3.40 dumps it.
CREATE TABLE jobs (
    key          INTEGER PRIMARY KEY,
    id           TEXT NOT NULL UNIQUE CHECK (id GLOB '????????-????-[45]???-[89ab]???-????????????'),
    area         TEXT NOT NULL CHECK (length(CAST(area AS BLOB)) <= 200 AND instr(area, char(0)) = 0),
    installation TEXT NOT NULL CHECK (length(CAST(installation AS BLOB)) <= 200 AND instr(installation, char(0)) = 0),
    knowledge    TEXT NOT NULL CHECK (length(CAST(knowledge AS BLOB)) <= 200 AND instr(knowledge, char(0)) = 0),
    opened       INTEGER NOT NULL CHECK (opened BETWEEN -62167219200 AND 253402300799),
    checksum     INTEGER NOT NULL CHECK (checksum BETWEEN 0 AND 4294967295)
) STRICT;
INSERT INTO jobs VALUES(1,'6f1c2a90-1d3e-4b5a-9c7d-0123456789ab','heron-bottom','HB-17','2026.10 (00aa11bb22cc)',1793000000,4255360250);
INSERT INTO jobs VALUES(2,'a0b1c2d3-e4f5-4678-8a9b-ba9876543210','quarry-lane','QL-3','2026.11 (3f9c0a12bd77)',1795000000,1718870792);
INSERT INTO jobs VALUES(3,'ffffffff-0000-4000-b000-000000000001','','','',0,3717972154);
CREATE TABLE events (
    job      INTEGER NOT NULL REFERENCES jobs (key),
    moment   INTEGER NOT NULL CHECK (moment BETWEEN at AND 253402300799),
    tick     INTEGER NOT NULL CHECK (tick BETWEEN 0 AND 4294967295),
    at       INTEGER NOT NULL CHECK (at BETWEEN -62167219200 AND 253402300799),
    kind     TEXT NOT NULL CHECK (kind IN ('set', 'said', 'found', 'pass', 'did_test', 'did', 'person',
                                           'state', 'cause', 'note', 'left', 'resumed', 'closed', 'undo',
                                           'instead', 'about')),
    what     TEXT NOT NULL CHECK (length(CAST(what AS BLOB)) <= 200 AND instr(what, char(0)) = 0),
    value    TEXT NOT NULL CHECK (length(CAST(value AS BLOB)) <= 4000 AND instr(value, char(0)) = 0),
    minutes  REAL NOT NULL CHECK (minutes BETWEEN 0 AND 100000),
    checksum INTEGER NOT NULL CHECK (checksum BETWEEN 0 AND 4294967295),
    PRIMARY KEY (job, moment, tick, kind, what, value, at, minutes)
) STRICT, WITHOUT ROWID;
INSERT INTO events VALUES(1,1793000060,0,1793000060,'said','no-water','yes',0.0,4173501730);
INSERT INTO events VALUES(1,1793003600,0,1793003600,'person','','qualified electrician',0.0,2912806046);
INSERT INTO events VALUES(1,1793003700,0,1793003700,'did','clear-switch-port','',0.0,2084838668);
INSERT INTO events VALUES(1,1793003800,0,1793003800,'closed','','cured',0.0,1818558216);
INSERT INTO events VALUES(1,1795608000,0,1795608000,'about','installation','HB-18',0.0,92607251);
INSERT INTO events VALUES(2,1795000060,0,1795000060,'note','','dog in the yard – ring first',0.0,2946221001);
INSERT INTO events VALUES(2,1795000070,0,1795000070,'undo','1795000060.0.af9bc3c9','',0.0,1062532524);
INSERT INTO events VALUES(2,1795168800,0,1795168800,'said','no-water','yes',0.0,2849299176);
INSERT INTO events VALUES(2,1795168800,1,1795165200,'found','water-comes-back','yes',0.0,89687603);
INSERT INTO events VALUES(2,1795172400,0,1795172400,'undo','1795168800.1.05588633','',0.0,3978052249);
INSERT INTO events VALUES(2,1795172400,1,1795172400,'did','clear-switch-port','',20.499999999999999999,1328607910);
CREATE TABLE tallies (
    job    INTEGER PRIMARY KEY REFERENCES jobs (key),
    events INTEGER NOT NULL CHECK (events >= 0),
    seal   INTEGER NOT NULL CHECK (seal BETWEEN 0 AND 4294967295),
    open   INTEGER NOT NULL CHECK (open IN (0, 1))
) STRICT;
INSERT INTO tallies VALUES(1,5,2492377319,0);
INSERT INTO tallies VALUES(2,6,3664465871,1);
INSERT INTO tallies VALUES(3,0,0,1);
CREATE TABLE summaries (
    job      INTEGER PRIMARY KEY REFERENCES jobs (key),
    form     INTEGER NOT NULL CHECK (form >= 1),
    summary  BLOB NOT NULL,
    checksum INTEGER NOT NULL CHECK (checksum BETWEEN 0 AND 4294967295)
) STRICT;
INSERT INTO summaries VALUES(1,1,X'310031373933303033383030006375726564006865726f6e2d626f74746f6d0048422d3138003100323032362e313020283030616131316262323263632900006e6f2d7761746572003000300030003100636c6561722d7377697463682d706f72740030003000300030003000',1339897125);
INSERT INTO summaries VALUES(2,1,X'00007175617272792d6c616e6500514c2d33003100323032362e313120283366396330613132626437372900006e6f2d7761746572003000300030003100636c6561722d7377697463682d706f7274003000300031003100636c6561722d7377697463682d706f72740032302e350032302e35003000',699648358);
INSERT INTO summaries VALUES(3,1,X'000000003100000000300030003000300030003000300030003000',375871218);
CREATE INDEX jobs_by_time ON jobs (opened);
CREATE INDEX jobs_by_installation ON jobs (installation);
CREATE INDEX open_jobs ON tallies (job) WHERE open = 1;
CREATE TRIGGER jobs_are_kept BEFORE DELETE ON jobs
BEGIN SELECT RAISE(ABORT, 'jobs are never deleted'); END;
CREATE TRIGGER jobs_stay_as_they_are BEFORE UPDATE ON jobs
BEGIN SELECT RAISE(ABORT, 'jobs are never changed'); END;
CREATE TRIGGER jobs_are_new BEFORE INSERT ON jobs
WHEN EXISTS (SELECT 1 FROM jobs WHERE id = NEW.id OR key = NEW.key)
BEGIN SELECT RAISE(ABORT, 'the job is there already'); END;
CREATE TRIGGER events_are_kept BEFORE DELETE ON events
BEGIN SELECT RAISE(ABORT, 'events are never deleted'); END;
CREATE TRIGGER events_stay_as_they_are BEFORE UPDATE ON events
BEGIN SELECT RAISE(ABORT, 'events are never changed'); END;
CREATE TRIGGER events_are_new BEFORE INSERT ON events
WHEN EXISTS (SELECT 1 FROM events WHERE job = NEW.job AND moment = NEW.moment AND tick = NEW.tick
             AND kind = NEW.kind AND what = NEW.what AND value = NEW.value AND at = NEW.at
             AND minutes = NEW.minutes)
BEGIN SELECT RAISE(ABORT, 'the event is there already'); END;
CREATE TRIGGER tallies_are_kept BEFORE DELETE ON tallies
BEGIN SELECT RAISE(ABORT, 'tallies are never deleted'); END;
CREATE TRIGGER summaries_are_kept BEFORE DELETE ON summaries
BEGIN SELECT RAISE(ABORT, 'summaries are never deleted'); END;
PRAGMA application_id = 1265530732;
PRAGMA user_version = 4;
