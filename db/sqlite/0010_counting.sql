-- Ways into the facts for counting by a word: each word's rows of some days lie side by side, so nothing is sorted.
CREATE INDEX fact_lumen_by_type ON fact_lumen (type, day);
CREATE INDEX fact_answer_counted_by_scope ON fact_answer (tool, yes, day) WHERE method = 'scope';
CREATE INDEX fact_answer_counted_by_lot ON fact_answer (lot, yes, day) WHERE lot != '';
