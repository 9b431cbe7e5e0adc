-- How long checks took, laid out by day: of each check and type of item the times of its answers, and the minutes in which
-- anything was answered. So a month's percentiles read a row a day, check and type, not a row an answer.
-- `took`: the times in ms as the answers have them, "9012,8044", in the order in which they came here; nothing is rounded.

CREATE TABLE fact_took (
  day TEXT NOT NULL, method TEXT NOT NULL, type TEXT NOT NULL, took TEXT NOT NULL,
  PRIMARY KEY (day, method, type)
) STRICT, WITHOUT ROWID;

CREATE TABLE fact_minute (day TEXT NOT NULL, minute INTEGER NOT NULL, PRIMARY KEY (day, minute)) STRICT, WITHOUT ROWID;

CREATE VIEW told_took AS
  SELECT day, method, type, group_concat(took_ms, ',' ORDER BY took_ms) AS took FROM fact_answer GROUP BY day, method, type;

CREATE VIEW told_minute AS SELECT DISTINCT day, minute FROM fact_answer;

CREATE TRIGGER fact_answer_is_timed AFTER INSERT ON fact_answer
BEGIN
  INSERT INTO fact_took (day, method, type, took) VALUES (NEW.day, NEW.method, NEW.type, CAST(NEW.took_ms AS TEXT))
    ON CONFLICT DO UPDATE SET took = took || ',' || excluded.took;
  INSERT OR IGNORE INTO fact_minute (day, minute) VALUES (NEW.day, NEW.minute);
END;

INSERT INTO fact_took (day, method, type, took) SELECT day, method, type, took FROM told_took;
INSERT INTO fact_minute (day, minute) SELECT day, minute FROM told_minute;
