-- What is left of acts that damage to the file took: the digests that later acts of the same device are chained to.
CREATE TABLE lost_act (digest BLOB PRIMARY KEY NOT NULL CHECK (length(digest) = 32)) STRICT;

CREATE TRIGGER lost_act_keeps BEFORE UPDATE ON lost_act BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER lost_act_stays BEFORE DELETE ON lost_act BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER lost_act_grows BEFORE INSERT ON lost_act WHEN EXISTS (SELECT 1 FROM lost_act WHERE digest = NEW.digest)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
