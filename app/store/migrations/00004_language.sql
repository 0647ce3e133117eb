-- The language that a person reads; '' is nobody's choice.
ALTER TABLE people ADD COLUMN language {text} NOT NULL DEFAULT '';
