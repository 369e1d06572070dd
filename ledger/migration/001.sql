-- What was read once, what plans it was held against, what a person said about
-- it, and what came of it. Amounts are whole cents, dates ISO 8601.

CREATE TABLE photos (
  sha256 TEXT PRIMARY KEY,
  name   TEXT NOT NULL,
  path   TEXT NOT NULL,
  taken  TEXT NOT NULL,
  reader TEXT NOT NULL,  -- what read it: another reader reads it again
  pages  BLOB,           -- gzip of JSON; NULL where it cannot be read
  fault  TEXT NOT NULL   -- why it cannot be read
);

CREATE TABLE plans (
  file   TEXT PRIMARY KEY,
  sha256 TEXT NOT NULL,
  source BLOB NOT NULL,
  files  TEXT NOT NULL   -- JSON: the further files by the path that the plan gives
);

-- The last answer to a question counts; the earlier ones are its history.
CREATE TABLE corrections (
  n        INTEGER PRIMARY KEY,
  question TEXT NOT NULL,
  value    TEXT NOT NULL,
  date     TEXT NOT NULL
);
CREATE INDEX corrections_question ON corrections (question);

CREATE TABLE names (
  store TEXT NOT NULL,
  item  TEXT NOT NULL,   -- the product's code, else its name
  text  TEXT NOT NULL,
  PRIMARY KEY (store, item, text)
) WITHOUT ROWID;

CREATE TABLE folders (
  folder TEXT PRIMARY KEY,
  photos TEXT NOT NULL,  -- JSON: names and hashes, in order
  plans  TEXT NOT NULL   -- JSON: files, in order
);

CREATE TABLE receipts (
  id           TEXT PRIMARY KEY,
  folder       TEXT NOT NULL,
  kind         TEXT NOT NULL,
  store        TEXT NOT NULL,
  date         TEXT NOT NULL,
  time         TEXT NOT NULL,
  register     TEXT NOT NULL,
  txn          TEXT NOT NULL,
  total        INTEGER,
  plan         TEXT NOT NULL,
  planned      TEXT NOT NULL,
  verdict      TEXT NOT NULL,
  expected     INTEGER,
  actual       INTEGER,
  short_till   INTEGER NOT NULL,
  short_credit INTEGER NOT NULL,
  result       BLOB      -- gzip of JSON
);
CREATE INDEX receipts_folder ON receipts (folder);
CREATE INDEX receipts_date ON receipts (date);
CREATE INDEX receipts_total ON receipts (total, date);
CREATE INDEX receipts_plan ON receipts (plan) WHERE plan <> '';

CREATE TABLE receipt_photos (
  receipt TEXT NOT NULL,
  sha256  TEXT NOT NULL,
  part    INTEGER NOT NULL,
  PRIMARY KEY (receipt, sha256, part)
) WITHOUT ROWID;
CREATE INDEX receipt_photos_photo ON receipt_photos (sha256);

CREATE TABLE dues (
  id       TEXT PRIMARY KEY,
  receipt  TEXT NOT NULL,
  store    TEXT NOT NULL,
  date     TEXT NOT NULL,
  offer    TEXT NOT NULL,
  title    TEXT NOT NULL,
  claim_to TEXT NOT NULL,
  kind     TEXT NOT NULL,
  what     TEXT NOT NULL,   -- gift card, points, store credit, rebate
  value    INTEGER NOT NULL,
  began    TEXT NOT NULL,
  state    TEXT NOT NULL,
  paid     INTEGER NOT NULL,
  by_date  TEXT NOT NULL,
  lines    TEXT NOT NULL    -- JSON: the receipt's lines that qualify
);
CREATE INDEX dues_receipt ON dues (receipt);
CREATE INDEX dues_open ON dues (by_date, id) WHERE state NOT IN ('paid', 'used', 'expired');

CREATE TABLE findings (
  id        TEXT PRIMARY KEY,
  receipt   TEXT NOT NULL,
  store     TEXT NOT NULL,
  date      TEXT NOT NULL,
  kind      TEXT NOT NULL,
  offer     TEXT NOT NULL,
  title     TEXT NOT NULL,
  carried   TEXT NOT NULL,  -- kind of offer: shelf, paper, print, app, loyalty; price
  side      TEXT NOT NULL,
  lost      INTEGER NOT NULL,
  state     TEXT NOT NULL,
  refunded  INTEGER NOT NULL
);
CREATE INDEX findings_receipt ON findings (receipt);
CREATE INDEX findings_date ON findings (date);
CREATE INDEX findings_sums ON findings (lost, refunded);

CREATE TABLE events (
  n       INTEGER PRIMARY KEY,
  subject TEXT NOT NULL,    -- a due or a finding
  state   TEXT NOT NULL,
  date    TEXT NOT NULL,
  amount  INTEGER NOT NULL,
  note    TEXT NOT NULL
);
CREATE INDEX events_subject ON events (subject);

CREATE TABLE questions (
  id       TEXT PRIMARY KEY,
  folder   TEXT NOT NULL,
  json     TEXT NOT NULL,
  amount   INTEGER NOT NULL,
  optional INTEGER NOT NULL
);
CREATE INDEX questions_folder ON questions (folder);

CREATE TABLE toward (
  receipt TEXT NOT NULL,
  offer   TEXT NOT NULL,    -- what makes an offer the same in several plans
  amount  INTEGER NOT NULL,
  date    TEXT NOT NULL,
  PRIMARY KEY (receipt, offer)
) WITHOUT ROWID;
CREATE INDEX toward_offer ON toward (offer);
