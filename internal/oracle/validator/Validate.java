import ca.uhn.fhir.context.FhirContext;
import ca.uhn.fhir.context.support.ConceptValidationOptions;
import ca.uhn.fhir.context.support.DefaultProfileValidationSupport;
import ca.uhn.fhir.context.support.ValidationSupportContext;
import ca.uhn.fhir.validation.FhirValidator;
import ca.uhn.fhir.validation.SingleValidationMessage;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.BufferedReader;
import java.io.InputStreamReader;
import java.io.PrintStream;
import java.lang.reflect.Field;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.hl7.fhir.common.hapi.validation.support.CommonCodeSystemsTerminologyService;
import org.hl7.fhir.common.hapi.validation.support.InMemoryTerminologyServerValidationSupport;
import org.hl7.fhir.common.hapi.validation.support.PrePopulatedValidationSupport;
import org.hl7.fhir.common.hapi.validation.support.SnapshotGeneratingValidationSupport;
import org.hl7.fhir.common.hapi.validation.support.ValidationSupportChain;
import org.hl7.fhir.common.hapi.validation.validator.FhirDefaultPolicyAdvisor;
import org.hl7.fhir.common.hapi.validation.validator.FhirInstanceValidator;
import org.hl7.fhir.common.hapi.validation.validator.WorkerContextValidationSupportAdapter;
import org.hl7.fhir.r5.elementmodel.Element;
import org.hl7.fhir.r5.model.ElementDefinition;
import org.hl7.fhir.r5.model.StructureDefinition;
import org.hl7.fhir.r5.utils.validation.IMessagingServices;
import org.hl7.fhir.r5.utils.validation.IResourceValidator;
import org.hl7.fhir.r5.utils.validation.IValidationPolicyAdvisor;
import org.hl7.fhir.r5.utils.validation.ValidatorSession;
import org.hl7.fhir.r5.utils.validation.constants.ReferenceValidationPolicy;
import org.hl7.fhir.utilities.validation.ValidationMessage;
import org.hl7.fhir.validation.BaseValidator;
import org.hl7.fhir.validation.instance.InstanceValidator;
import org.hl7.fhir.validation.instance.advisor.BasePolicyAdvisorForFullValidation;

/**
 * HL7's validation engine for R4, without a network: Validate DEFINITIONS.ndjson
 *
 * Reads a resource a line from standard input, writes for each, in the same order and without waiting for more, the
 * list of what the engine says of it: severity, id of the message, place, text. An exception is an issue of severity
 * "exception". Definitions are code systems, value sets and profiles, a line each. With --snapshots after it, it writes
 * each profile that it reads, with its snapshot.
 */
public class Validate {
  /** HAPI's own advisor applies no profile by code; HL7's does, as R4 asks for vital signs. */
  static class Advisor extends FhirDefaultPolicyAdvisor {
    final IValidationPolicyAdvisor hl7 = new BasePolicyAdvisorForFullValidation(ReferenceValidationPolicy.IGNORE, Set.of());

    @Override public List<StructureDefinition> getImpliedProfilesForResource(IResourceValidator validator, Object context, String path,
        ElementDefinition element, StructureDefinition type, Element resource, boolean valid, IMessagingServices messages,
        List<ValidationMessage> found) {
      knowItself((InstanceValidator) validator);
      return hl7.getImpliedProfilesForResource(validator, context, path, element, type, resource, valid, messages, found);
    }
  }

  /**
   * Where an extension may stand the engine looks up in every version of FHIR that it is for, here 4.0. It does not know
   * its own definitions by that name, for HAPI calls them 4.0.1, and would fetch a package of them.
   */
  static void knowItself(InstanceValidator validator) {
    try {
      Field session = BaseValidator.class.getDeclaredField("session");
      session.setAccessible(true);
      ((ValidatorSession) session.get(validator)).getOtherVersions().put("4.0", validator.getContext());
    } catch (ReflectiveOperationException e) {
      throw new IllegalStateException(e);
    }
  }

  /** HAPI compares displays only when asked, and takes what a fragment of a code system lacks for a mere warning. */
  static class Terminology extends InMemoryTerminologyServerValidationSupport {
    Terminology(FhirContext fhir) {
      super(fhir);
    }

    @Override public CodeValidationResult validateCode(ValidationSupportContext context, ConceptValidationOptions options, String system,
        String code, String display, String valueSet) {
      CodeValidationResult result = super.validateCode(context, options.setValidateDisplay(true), system, code, display, valueSet);
      if (result != null && !result.isOk()) result.setSeverity(IssueSeverity.ERROR);
      return result;
    }
  }

  static ValidationSupportChain chain(FhirContext fhir, Path definitions) throws Exception {
    PrePopulatedValidationSupport own = new PrePopulatedValidationSupport(fhir);
    for (String line : Files.readAllLines(definitions)) own.addResource(fhir.newJsonParser().parseResource(line));
    // What draws snapshots turns every definition that there is into R5's form: once, not for each profile anew.
    WorkerContextValidationSupportAdapter all = new WorkerContextValidationSupportAdapter();
    ValidationSupportChain chain = new ValidationSupportChain(ValidationSupportChain.CacheConfiguration.defaultValues(),
        own, new DefaultProfileValidationSupport(fhir), new CommonCodeSystemsTerminologyService(fhir),
        new Terminology(fhir), new SnapshotGeneratingValidationSupport(fhir, all));
    all.setValidationSupport(chain);
    return chain;
  }

  static FhirValidator validator(Path definitions) throws Exception {
    FhirContext fhir = FhirContext.forR4();
    FhirInstanceValidator engine = new FhirInstanceValidator(chain(fhir, definitions));
    engine.setErrorForUnknownProfiles(true);
    engine.setAnyExtensionsAllowed(false);
    engine.setAssumeValidRestReferences(true);
    engine.setValidatorPolicyAdvisor(new Advisor());
    return fhir.newValidator().registerValidatorModule(engine);
  }

  static List<Map<String, String>> issues(FhirValidator validator, String resource) {
    List<Map<String, String>> out = new ArrayList<>();
    try {
      for (SingleValidationMessage m : validator.validateWithResult(resource).getMessages()) {
        out.add(issue(m.getSeverity().getCode(), m.getMessageId(), m.getLocationString(), m.getMessage()));
      }
    } catch (Exception | StackOverflowError e) {
      out.add(issue("exception", e.getClass().getName(), "", String.valueOf(e.getMessage())));
    }
    return out;
  }

  /** The profiles as they come, with the snapshots that the engine draws from their differentials. */
  static void snapshots(Path definitions, PrintStream out) throws Exception {
    FhirContext fhir = FhirContext.forR4();
    ValidationSupportContext context = new ValidationSupportContext(chain(fhir, definitions));
    BufferedReader in = new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8));
    for (String line = in.readLine(); line != null; line = in.readLine()) {
      String url = ((org.hl7.fhir.r4.model.StructureDefinition) fhir.newJsonParser().parseResource(line)).getUrl();
      out.println(fhir.newJsonParser().encodeResourceToString(context.getRootValidationSupport().generateSnapshot(context,
          context.getRootValidationSupport().fetchStructureDefinition(url), url, null, null)));
    }
    out.flush();
  }

  static final Future<List<Map<String, String>>> END = CompletableFuture.completedFuture(null);

  static Map<String, String> issue(String severity, String id, String at, String text) {
    Map<String, String> m = new LinkedHashMap<>();
    m.put("severity", severity);
    m.put("id", id == null ? "" : id);
    m.put("at", at == null ? "" : at);
    m.put("text", text);
    return m;
  }

  public static void main(String[] args) throws Exception {
    PrintStream out = new PrintStream(System.out, false, StandardCharsets.UTF_8);
    System.setOut(System.err); // the libraries' own words
    if (args.length > 1 && args[1].equals("--snapshots")) {
      snapshots(Path.of(args[0]), out);
      return;
    }
    FhirValidator validator = validator(Path.of(args[0]));
    issues(validator, "{\"resourceType\":\"Basic\",\"code\":{\"text\":\"warm-up\"}}"); // lazily built parts are not for two threads at once
    ObjectMapper json = new ObjectMapper();
    int threads = Runtime.getRuntime().availableProcessors();
    ExecutorService pool = Executors.newFixedThreadPool(threads);
    BlockingQueue<Future<List<Map<String, String>>>> waiting = new ArrayBlockingQueue<>(8 * threads); // so little is read ahead
    Thread answers = new Thread(() -> {
      try {
        for (Future<List<Map<String, String>>> next = waiting.take(); next != END; next = waiting.take()) {
          out.println(json.writeValueAsString(next.get()));
          out.flush();
        }
      } catch (Exception e) {
        e.printStackTrace();
        System.exit(1);
      }
    });
    answers.start();
    BufferedReader in = new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8));
    for (String line = in.readLine(); line != null; line = in.readLine()) {
      String resource = line;
      waiting.put(pool.submit(() -> issues(validator, resource)));
    }
    waiting.put(END);
    answers.join();
    pool.shutdown();
  }
}
