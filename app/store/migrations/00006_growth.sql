-- What keeps the pages as fast with many jobs as with few. What a job says of
-- its machine over the years ('': not made yet), and how many jobs wait for what.
ALTER TABLE jobs ADD COLUMN past {text} NOT NULL DEFAULT '';

CREATE TABLE job_counts (
  site   {text} NOT NULL,
  owner  {text} NOT NULL,
  waits  {text} NOT NULL,
  n      {int} NOT NULL,
  PRIMARY KEY (site, owner, waits)
) {strict};

INSERT INTO job_counts (site, owner, waits, n) SELECT site, owner, waits, count(*) FROM jobs GROUP BY site, owner, waits;

DROP INDEX search_words_stream;
CREATE INDEX search_words_text ON search_words (site, stream, ref, word);
CREATE INDEX search_texts_at ON search_texts (site, at DESC, stream, ref);

{written}
