package stoplog.checker.abstraction;

import java.lang.classfile.Label;
import java.util.ArrayList;
import java.util.List;

/**
 * Writes statements that are too long for one method as several, which work on an array of words one
 * after another, and each tell whether the step goes on.
 */
final class PieceCode {
  private final StepClass into;
  private final PlainCode.Places places;
  private final int methodBytes;

  /**
   * @param methodBytes about how many bytes of code a method may have
   */
  PieceCode(StepClass into, PlainCode.Places places, int methodBytes) {
    this.into = into;
    this.places = places;
    this.methodBytes = methodBytes;
  }

  /**
   * The program cut into statements.
   *
   * @param name begins the names of the methods that are written for them
   */
  Statements statements(StepProgram program, String name) {
    return new Statements(program, places, name, methodBytes);
  }

  /** Cuts the statements into methods, and names those in their order. */
  List<String> pieces(Statements statements, String prefix) {
    for (Node part : statements.apart()) {
      into.method(
          statements.nameOf(part),
          PlainCode.PART,
          code -> {
            new PlainCode(code, StepClass.SELF, places, statements, 0, 1, true).part(part);
            code.ireturn();
          });
    }
    var names = new ArrayList<String>();
    for (List<Statements.Statement> piece : cut(statements)) {
      String name = prefix + "piece" + names.size();
      names.add(name);
      into.method(
          name,
          StepClass.ASKS,
          code -> {
            Label drop = code.newLabel();
            var plain = new PlainCode(code, StepClass.SELF, places, statements, 0, 1, true);
            piece.forEach(s -> plain.statement(s, drop));
            plain.store(0, plain.changed());
            StepClass.answer(code, drop);
          });
    }
    return names;
  }

  /** How many pieces only check and define, and can do so on the state itself. */
  int guardPieces(Statements statements) {
    int count = 0;
    for (List<Statements.Statement> piece : cut(statements)) {
      if (piece.stream().anyMatch(Statements.Assign.class::isInstance)) {
        break;
      }
      count++;
    }
    return count;
  }

  /**
   * Pieces of bounded size; the first assignment begins one, and so does a statement with parts apart
   * (they read the array, which a piece brings up to date at its end).
   */
  private List<List<Statements.Statement>> cut(Statements statements) {
    var pieces = new ArrayList<List<Statements.Statement>>();
    List<Statements.Statement> piece = new ArrayList<>();
    int bytes = 0;
    boolean assigned = false;
    for (Statements.Statement s : statements.list()) {
      boolean begins =
          bytes + statements.bytes(s) > methodBytes
              || s instanceof Statements.Assign && !assigned
              || assigned && statements.callsParts(s);
      if (begins && !piece.isEmpty()) {
        pieces.add(piece);
        piece = new ArrayList<>();
        bytes = 0;
      }
      assigned |= s instanceof Statements.Assign;
      piece.add(s);
      bytes += statements.bytes(s);
    }
    if (!piece.isEmpty()) {
      pieces.add(piece);
    }
    return pieces;
  }

  /** A method that tells whether a condition holds in a packed state. */
  void condition(String name, StepProgram guard) {
    Statements statements = statements(guard, name);
    if (statements.isShort()) {
      into.method(
          name,
          StepClass.ASKS,
          code -> {
            Label no = code.newLabel();
            var plain = new PlainCode(code, StepClass.SELF, places, statements, 0, 1, false);
            statements.list().forEach(s -> plain.statement(s, no));
            StepClass.answer(code, no);
          });
      return;
    }
    String all = into.askInTurn(pieces(statements, name));
    into.method(
        name,
        StepClass.ASKS,
        code -> {
          Label no = code.newLabel();
          StepClass.ask(code, all, 0, 1, no);
          StepClass.answer(code, no);
        });
  }
}
