package stoplog.dsl.syntax;

import java.util.List;
import java.util.Set;
import stoplog.diag.Diagnostic;
import stoplog.source.SourceFile;

/**
 * One file as ANTLR parsed it.
 *
 * @param declarations those that were read to their end, in the order written
 * @param found what is wrong with it; what is found later about this file is added here
 * @param unread every word of the passages that were skipped; grows too
 */
record Parsed(
    SourceFile file,
    Offsets offsets,
    Recovery recovery,
    List<PlantParser.DeclarationContext> declarations,
    List<Diagnostic> found,
    Set<String> unread) {}
