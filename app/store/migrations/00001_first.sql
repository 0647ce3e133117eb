CREATE TABLE sites (
  id       {text} PRIMARY KEY,
  name     {text} NOT NULL,
  created  {int} NOT NULL
) {strict};

CREATE TABLE streams (
  site    {text} NOT NULL REFERENCES sites (id),
  name    {text} NOT NULL,
  seq     {int} NOT NULL,
  hash    {text} NOT NULL,
  folded  {int} NOT NULL DEFAULT 0,
  PRIMARY KEY (site, name)
) {strict};

CREATE INDEX streams_behind ON streams (site, name) WHERE folded < seq;

CREATE TABLE entries (
  site      {text} NOT NULL,
  stream    {text} NOT NULL,
  seq       {int} NOT NULL,
  id        {text} NOT NULL,
  kind      {text} NOT NULL,
  version   {int} NOT NULL,
  body      {text} NOT NULL,
  person    {text} NOT NULL,
  at        {int} NOT NULL,
  seen      {text} NOT NULL,
  received  {int} NOT NULL,
  device    {text} NOT NULL,
  prev      {text} NOT NULL,
  hash      {text} NOT NULL,
  PRIMARY KEY (site, stream, seq),
  UNIQUE (site, id),
  FOREIGN KEY (site, stream) REFERENCES streams (site, name)
) {strict};

CREATE TABLE counters (
  site  {text} NOT NULL REFERENCES sites (id),
  name  {text} NOT NULL,
  n     {int} NOT NULL,
  PRIMARY KEY (site, name)
) {strict};

CREATE TABLE blobs (
  site     {text} NOT NULL REFERENCES sites (id),
  hash     {text} NOT NULL,
  media    {text} NOT NULL,
  name     {text} NOT NULL,
  size     {int} NOT NULL,
  thumb    {text} NOT NULL,
  created  {int} NOT NULL,
  PRIMARY KEY (site, hash)
) {strict};

CREATE TABLE people (
  site      {text} NOT NULL REFERENCES sites (id),
  id        {text} NOT NULL,
  name      {text} NOT NULL,
  roles     {text} NOT NULL,
  owner     {text} NOT NULL,
  units     {text} NOT NULL,
  password  {text} NOT NULL,
  pin       {text} NOT NULL,
  away      {int} NOT NULL,
  created   {int} NOT NULL,
  PRIMARY KEY (site, id)
) {strict};

CREATE TABLE devices (
  site     {text} NOT NULL REFERENCES sites (id),
  id       {text} NOT NULL,
  name     {text} NOT NULL,
  secret   {text} NOT NULL,
  code     {text} NOT NULL,
  until    {int} NOT NULL,
  by_whom  {text} NOT NULL,
  paired   {int} NOT NULL,
  revoked  {int} NOT NULL,
  PRIMARY KEY (site, id)
) {strict};

CREATE INDEX devices_secret ON devices (secret);

CREATE TABLE sessions (
  token    {text} PRIMARY KEY,
  id       {text} NOT NULL,
  site     {text} NOT NULL,
  person   {text} NOT NULL,
  device   {text} NOT NULL,
  by_pin   {int} NOT NULL,
  created  {int} NOT NULL,
  used     {int} NOT NULL,
  expires  {int} NOT NULL,
  revoked  {int} NOT NULL,
  FOREIGN KEY (site, person) REFERENCES people (site, id)
) {strict};

CREATE INDEX sessions_person ON sessions (site, person);

CREATE TABLE tries (
  name      {text} PRIMARY KEY,
  failures  {int} NOT NULL,
  last      {int} NOT NULL
) {strict};

CREATE TABLE links (
  token    {text} PRIMARY KEY,
  id       {text} NOT NULL,
  site     {text} NOT NULL REFERENCES sites (id),
  stream   {text} NOT NULL,
  person   {text} NOT NULL,
  note     {text} NOT NULL,
  created  {int} NOT NULL,
  expires  {int} NOT NULL,
  revoked  {int} NOT NULL
) {strict};

CREATE INDEX links_stream ON links (site, stream);

CREATE TABLE backups (
  at    {int} NOT NULL,
  path  {text} NOT NULL,
  good  {int} NOT NULL,
  note  {text} NOT NULL,
  PRIMARY KEY (at, path)
) {strict};

-- Made from the entries; may be emptied and made again.
CREATE TABLE jobs (
  site    {text} NOT NULL,
  stream  {text} NOT NULL,
  seq     {int} NOT NULL,
  waits   {text} NOT NULL,
  since   {int} NOT NULL,
  opened  {int} NOT NULL,
  tag     {text} NOT NULL,
  serial  {text} NOT NULL,
  owner   {text} NOT NULL,
  data    {text} NOT NULL,
  PRIMARY KEY (site, stream)
) {strict};

CREATE INDEX jobs_waits ON jobs (site, waits, since, stream);
CREATE INDEX jobs_owner ON jobs (site, owner, waits, since, stream);
CREATE INDEX jobs_serial ON jobs (site, serial, opened);
CREATE INDEX jobs_tag ON jobs (site, tag, opened);

CREATE TABLE search_texts (
  site    {text} NOT NULL,
  stream  {text} NOT NULL,
  ref     {text} NOT NULL,
  kind    {text} NOT NULL,
  text    {text} NOT NULL,
  at      {int} NOT NULL,
  PRIMARY KEY (site, stream, ref)
) {strict};

CREATE TABLE search_words (
  site    {text} NOT NULL,
  word    {text} NOT NULL,
  stream  {text} NOT NULL,
  ref     {text} NOT NULL,
  PRIMARY KEY (site, word, stream, ref)
) {strict};

CREATE INDEX search_words_stream ON search_words (site, stream);
