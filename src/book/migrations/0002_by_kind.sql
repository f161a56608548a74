-- The newest entries of a kind, how many there are of it, and with whom, without looking at every entry.
CREATE INDEX entry_kind ON entry (kind, date);
CREATE INDEX entry_kind_party ON entry (kind, party COLLATE NOCASE, date) WHERE party <> '';
