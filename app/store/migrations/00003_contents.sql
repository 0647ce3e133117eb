-- Photos and papers, for a shop that keeps them in its database.
CREATE TABLE contents (
  hash     {text} PRIMARY KEY,
  content  {bytes} NOT NULL
) {strict};
