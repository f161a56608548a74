-- What moved and nobody can explain yet stands on an account of its own, with the first number that is free from 1900.
-- A book that is being made has no accounts yet and gets it with its chart.
INSERT INTO account (id, number, name, class, heading, is_contra, role, form_line, is_active)
WITH RECURSIVE free (number) AS (
  SELECT 1900 UNION ALL SELECT number + 1 FROM free WHERE number < 9999
)
SELECT (SELECT max(id) + 1 FROM account),
       (SELECT CAST(number AS TEXT) FROM free
          WHERE CAST(number AS TEXT) NOT IN (SELECT account.number FROM account) ORDER BY free.number LIMIT 1),
       CASE WHEN EXISTS (SELECT 1 FROM account WHERE name = 'Not yet explained')
            THEN 'Not yet explained (statement lines)' ELSE 'Not yet explained' END,
       'asset', 'Not yet explained', 0, 'not-explained', NULL, 1
WHERE EXISTS (SELECT 1 FROM account) AND NOT EXISTS (SELECT 1 FROM account WHERE role = 'not-explained');
