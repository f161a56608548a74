-- The lines of a file stand one after the other by their own numbers, so that an index by file cost each of them time on
-- its way in and was of use to a few questions only, which now ask by number.
DROP INDEX bank_line_file;
