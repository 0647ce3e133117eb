-- People of one site who belong to another one too. They sign in at home.
CREATE TABLE guests (
  site         {text} NOT NULL,
  person       {text} NOT NULL,
  home         {text} NOT NULL,
  home_person  {text} NOT NULL,
  PRIMARY KEY (site, person),
  FOREIGN KEY (site, person) REFERENCES people (site, id),
  FOREIGN KEY (home, home_person) REFERENCES people (site, id)
) {strict};

CREATE INDEX guests_home ON guests (home, home_person);
