-- What programs may come in with, and whom the shop tells of changes.
CREATE TABLE tokens (
  secret   {text} PRIMARY KEY,
  id       {text} NOT NULL,
  site     {text} NOT NULL REFERENCES sites (id),
  person   {text} NOT NULL,
  name     {text} NOT NULL,
  scopes   {text} NOT NULL,
  created  {int} NOT NULL,
  expires  {int} NOT NULL,
  revoked  {int} NOT NULL
) {strict};

CREATE UNIQUE INDEX tokens_id ON tokens (site, id);

CREATE TABLE hooks (
  site     {text} NOT NULL REFERENCES sites (id),
  id       {text} NOT NULL,
  address  {text} NOT NULL,
  secret   {text} NOT NULL,
  person   {text} NOT NULL,
  created  {int} NOT NULL,
  PRIMARY KEY (site, id)
) {strict};

CREATE TABLE deliveries (
  site      {text} NOT NULL,
  id        {text} NOT NULL,
  hook      {text} NOT NULL,
  body      {text} NOT NULL,
  due       {int} NOT NULL,
  tries     {int} NOT NULL,
  done      {int} NOT NULL,
  note      {text} NOT NULL,
  created   {int} NOT NULL,
  PRIMARY KEY (site, id),
  FOREIGN KEY (site, hook) REFERENCES hooks (site, id) ON DELETE CASCADE
) {strict};

CREATE INDEX deliveries_due ON deliveries (due) WHERE done = 0;

-- The stage that was told last of each job.
CREATE TABLE told_stages (
  site    {text} NOT NULL,
  stream  {text} NOT NULL,
  stage   {text} NOT NULL,
  seq     {int} NOT NULL,
  PRIMARY KEY (site, stream)
) {strict};
